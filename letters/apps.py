from django.apps import AppConfig


class LettersConfig(AppConfig):
    name = "letters"

    def ready(self) -> None:
        """Listen to the mail provider. Not a signal of our own: anymail has no other way."""
        from anymail.signals import tracking

        from letters.webhooks import take_event

        tracking.connect(take_event, dispatch_uid="letters")
