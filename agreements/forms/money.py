"""The forms about money that moved."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError

from agreements.models import How
from agreements.models.money import PAYABLE, new_key
from kit.web.forms import DateInput, laid_out

_CARD = re.compile(r"(?:\d[ -]?){13,19}")
LONGEST_AGO = dt.timedelta(days=366)


class MovedForm(forms.Form):
    """An amount, its day, and how it moved. `key` makes a second sending known."""

    key = forms.CharField(widget=forms.HiddenInput, max_length=32, required=False)
    amount = forms.DecimalField(
        label="Amount, $", min_value=Decimal("0.01"), max_digits=8, decimal_places=2
    )
    on = forms.DateField(label="Day", widget=DateInput)
    how = forms.ChoiceField(label="How", choices=[(how.value, how.label) for how in PAYABLE])
    reference = forms.CharField(
        required=False, max_length=40, label="Number",
        help_text="Of the check or of the transfer. Never of a card.",
    )  # fmt: skip

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.initial = {"on": today, "key": new_key(), **self.initial}

    def clean_on(self) -> dt.date:
        day: dt.date = self.cleaned_data["on"]
        if not self.today - LONGEST_AGO <= day <= self.today:
            first = self.today - LONGEST_AGO
            raise ValidationError(
                f"The day lies between {first:%B %-d, %Y} and today, {self.today:%B %-d, %Y}."
            )
        return day

    def clean_reference(self) -> str:
        reference: str = self.cleaned_data["reference"]
        if _CARD.search(reference):
            raise ValidationError("This looks like the number of a card. Write none here.")
        return reference

    def clean(self) -> dict[str, Any]:
        super().clean()
        # A refused number is missing from the cleaned ones, not empty.
        if self.cleaned_data.get("how") == How.CHECK and self.cleaned_data.get("reference") == "":
            self.add_error("reference", "Write the number of the check.")
        return self.cleaned_data


class PaymentForm(MovedForm):
    """Money that came in."""

    receipt = forms.BooleanField(required=False, label="Send a receipt by e-mail")
    helper = laid_out(
        Fieldset("Payment", "key", Row("amount", "on"), Row("how", "reference"), "receipt")
    )


class RefundForm(MovedForm):
    """Money that goes back; `paid` is the most that can."""

    why = forms.CharField(max_length=200, label="Why")
    helper = laid_out(
        Fieldset("Refund", "key", Row("amount", "on"), Row("how", "reference"), "why")
    )

    def __init__(self, *args: Any, paid: Decimal, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.paid = paid

    def clean_amount(self) -> Decimal:
        amount: Decimal = self.cleaned_data["amount"]
        if amount > self.paid:
            raise ValidationError(f"At most ${self.paid:,.2f}, which was paid and not given back.")
        return amount


class ReverseForm(forms.Form):
    """Why a payment is taken back."""

    why = forms.CharField(max_length=200, label="Why", help_text="For example: the check bounced.")
    helper = laid_out(Fieldset("Counter entry", "why"))
