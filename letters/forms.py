"""The forms that narrow the outbox and keep the letterhead."""

from __future__ import annotations

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.validators import RegexValidator

from customers.forms.fields import PhoneField
from kit.web.editing import WatchedForm
from kit.web.forms import laid_out
from letters.contents import CONTENTS
from letters.models import LetterState, Sender
from letters.models.letter import IN_HAND


class NarrowForm(forms.Form):
    """What the outbox is narrowed to."""

    q = forms.CharField(
        required=False, max_length=120, label="Customer or e-mail",
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip
    state = forms.ChoiceField(
        required=False,
        choices=[("", "every state")]
        + [(state, state.label) for state in LetterState if state not in IN_HAND],
    )
    kind = forms.ChoiceField(
        required=False,
        choices=[("", "every kind")]
        + [(name, content.label) for name, content in CONTENTS.items()],
    )


_ONE_LINE = RegexValidator(r"^[^\r\n<>]*$", "Without line breaks and angle brackets.")


class SenderForm(WatchedForm):
    one_for = "branch"
    from_name = forms.CharField(
        max_length=80, label="Name of the sender", validators=[_ONE_LINE],
        help_text="As customers know the shop.",
    )  # fmt: skip
    postal_address = forms.CharField(
        max_length=200, validators=[_ONE_LINE],
        help_text="Stands in each letter: US law asks for it (CAN-SPAM, 15 U.S.C. 7704(a)(5)).",
    )  # fmt: skip
    phone = PhoneField(help_text="In each letter; the office answers it.")
    emergency_phone = PhoneField(
        required=False, label="The gas company's number",
        help_text="In the answer to a no-start message, where gas is mentioned.",
    )  # fmt: skip
    helper = laid_out(
        Fieldset("Who writes", Row("from_name", "from_email"), "postal_address"),
        Fieldset("Whom to call", Row("phone", "emergency_phone")),
        Fieldset("When to write", Row("quiet_from", "quiet_until"), "daily_limit"),
    )

    class Meta:
        model = Sender
        fields = [
            "from_name", "from_email", "postal_address", "phone", "emergency_phone",
            "quiet_from", "quiet_until", "daily_limit",
        ]  # fmt: skip
        labels = {
            "from_email": "E-mail of the sender",
            "quiet_from": "No letters from",
            "quiet_until": "Letters again from",
            "daily_limit": "Reminders a customer gets in a day, at most",
        }
        help_texts = {
            "from_email": "Answers of customers come here.",
            "quiet_from": "On the branch's clock. “On the way” goes at any hour.",
            "quiet_until": "",
            "daily_limit": "Letters about an agreed visit are not counted.",
        }
        widgets = {
            name: forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
            for name in ("quiet_from", "quiet_until")
        }
