"""The forms that change or end a running agreement."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from agreements.models import Agreement, Plan
from customers.models import Customer
from customers.templatetags.homes import phone
from kit.web.forms import DateInput, laid_out, model_choice


class ChangePlanForm(forms.Form):
    """Another plan, and from when."""

    plan = forms.ModelChoiceField(Plan.objects.none(), empty_label=None)
    on = forms.DateField(label="From", widget=DateInput)

    def __init__(self, *args: Any, agreement: Agreement, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        branch = agreement.home.customer.branch
        others = branch.plans.filter(active=True).exclude(pk=agreement.plan_id)
        model_choice(self, "plan").queryset = others
        self.initial = {"on": today, "plan": others.first(), **self.initial}


class EndForm(forms.Form):
    """The first day without the agreement."""

    ends = forms.DateField(label="First day without it", widget=DateInput)


class CancelForm(EndForm):
    """The same, and why."""

    ends = forms.DateField(widget=forms.HiddenInput)
    why = forms.CharField(
        max_length=200, label="Why", widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    helper = laid_out("ends", "why")


class PauseForm(forms.Form):
    """Days on which nobody comes."""

    first = forms.DateField(label="First day of the pause", widget=DateInput)
    last = forms.DateField(label="Last day of the pause", widget=DateInput)
    why = forms.CharField(max_length=200, label="Why")
    helper = laid_out(Fieldset("Pause", Row("first", "last"), "why"))

    def clean(self) -> dict[str, Any]:
        super().clean()
        first, last = self.cleaned_data.get("first"), self.cleaned_data.get("last")
        if first and last and last < first:
            self.add_error("last", "A pause ends on or after its first day.")
        return self.cleaned_data


class SoldForm(forms.Form):
    """When the home was sold, and to whom when the new owner is on file (`found` by a search)."""

    to = forms.ModelChoiceField(
        Customer.objects.none(), label="New owner", widget=forms.RadioSelect, empty_label=None,
        error_messages={"required": "Choose the new owner, or enter somebody new."},
    )  # fmt: skip
    on = forms.DateField(label="Sold on", widget=DateInput)

    def __init__(
        self, *args: Any, found: QuerySet[Customer] | None, today: dt.date, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.initial = {"on": today, **self.initial}
        if found is None:
            del self.fields["to"]
        else:
            to = model_choice(self, "to")
            to.queryset = found
            to.label_from_instance = _customer_words  # type: ignore[assignment,method-assign]  # Django's own way
        self.helper = laid_out(*self.fields)

    def clean_on(self) -> dt.date:
        day: dt.date = self.cleaned_data["on"]
        if day > self.today:
            raise ValidationError("Enter it when the home is sold, not before.")
        return day


def _customer_words(customer: Customer) -> str:
    """Namesakes are told apart by telephone or address."""
    return ", ".join(filter(None, [customer.name, phone(customer.phone), customer.email]))


class WhyForm(forms.Form):
    """A reason in the customer's words."""

    why = forms.CharField(max_length=200, label="What the customer said")
    helper = laid_out("why")


class SignForm(forms.Form):
    """A name for a signature, and whether the next term may begin by itself."""

    name = forms.CharField(max_length=120)
    renews = forms.BooleanField(required=False)
