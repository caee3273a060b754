"""The forms that narrow the list of agreements and make a new one."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError

from agreements.models import Agreement, Plan
from agreements.terms import term
from customers.models import Home, System
from customers.search import searched
from kit.web.forms import DateInput, laid_out, model_choice
from shop.models import Branch

ENDING, ENDED, OVERDUE, EVERY = "ending", "ended", "overdue", "every"
EARLIEST_START = dt.date(1990, 1, 1)
MOST_DAYS_AHEAD = 366


class NarrowForm(forms.Form):
    """What the list is narrowed to; without a word, the agreements that run now or later."""

    q = forms.CharField(
        required=False, max_length=200, label="Name, street, phone or e-mail",
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip
    plan = forms.ModelChoiceField(Plan.objects.none(), required=False, empty_label="all plans")
    show = forms.ChoiceField(
        required=False,
        label="Term",
        choices=[
            ("", "running or to begin"),
            (ENDING, "ending within 45 days, not renewed"),
            (ENDED, "ended, not renewed"),
            (OVERDUE, "owing an overdue visit"),
            (EVERY, "every term"),
        ],
    )

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        model_choice(self, "plan").queryset = branch.plans.all()

    def clean_q(self) -> str:
        return searched(self.cleaned_data["q"])


class AgreementForm(forms.Form):
    """A new agreement for `home`."""

    plan = forms.ModelChoiceField(Plan.objects.none(), empty_label=None)
    starts_on = forms.DateField(label="First day", widget=DateInput)
    systems = forms.ModelMultipleChoiceField(
        System.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one system that the checks are for."},
    )
    price = forms.DecimalField(
        required=False, min_value=0, max_digits=8, decimal_places=2,
        label="Price a term, $", help_text="Empty: the plan's price for that many systems.",
    )  # fmt: skip
    renews = forms.BooleanField(
        required=False, initial=True, label="The customer agreed to renewal"
    )
    helper = laid_out(Fieldset("Agreement", Row("plan", "starts_on"), "systems", "price", "renews"))

    def __init__(self, *args: Any, home: Home, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.home, self.today = home, today
        systems = home.systems.all()
        plan = model_choice(self, "plan")
        plan.queryset = home.customer.branch.plans.filter(active=True)
        plan.label_from_instance = _plan_words  # type: ignore[assignment,method-assign]  # Django's own way
        model_choice(self, "systems").queryset = systems
        self.fields["systems"].required = bool(systems)
        self.initial = {"starts_on": today, "systems": systems, **self.initial}

    def clean_starts_on(self) -> dt.date:
        day = self.cleaned_data["starts_on"]
        last = self.today + dt.timedelta(days=MOST_DAYS_AHEAD)
        if not EARLIEST_START <= day <= last:
            raise ValidationError(
                f"The first day lies between {EARLIEST_START:%B %-d, %Y} and {last:%B %-d, %Y}."
            )
        return day

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        plan, starts_on = cleaned.get("plan"), cleaned.get("starts_on")
        if plan and starts_on and (twin := self._overlapping(plan, starts_on)):
            self.add_error(
                "starts_on",
                f"{plan} runs here already, {twin.starts_on:%B %-d, %Y} to "
                f"{twin.ends_on:%B %-d, %Y}; renew it, or begin after it ends.",
            )
        return cleaned

    def _overlapping(self, plan: Plan, starts_on: dt.date) -> Agreement | None:
        """A term of the same plan on the same days, unless each is for systems of its own."""
        first = term(starts_on, plan.term_months, 0)
        chosen = set(self.cleaned_data.get("systems", ()))
        same_days = self.home.agreements.filter(plan=plan)
        for other in same_days.running_between(first.starts_on, first.ends_on):
            covered = set(other.systems.all())
            if not covered or not chosen or covered & chosen or other.starts_on == starts_on:
                return other
        return None


def _plan_words(plan: Plan) -> str:
    return f"{plan}, ${plan.price:,.2f}"
