from django.apps import AppConfig


class RemindersConfig(AppConfig):
    name = "reminders"
