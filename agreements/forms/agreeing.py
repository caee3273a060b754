"""The forms that make an agreement: for a home on file, and on the telephone for anybody."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.bootstrap import InlineCheckboxes
from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError

from agreements.actions.agreeing import first_term, overlapping, twin_words
from agreements.actions.plans import version_on
from agreements.models import Plan, PlanVersion, Rhythm
from customers.forms import CustomerForm, HomeForm
from customers.models import Home, System, SystemKind
from kit.web.forms import DateInput, laid_out, model_choice
from shop.models import Branch

EARLIEST_START = dt.date(1990, 1, 1)
MOST_DAYS_AHEAD = 366


class TermsForm(forms.Form):
    """Plan, days and price: what every new agreement needs."""

    plan = forms.ModelChoiceField(Plan.objects.none(), empty_label=None)
    rhythm = forms.ChoiceField(label="Paid", choices=Rhythm.choices, required=False)
    starts_on = forms.DateField(label="First day", widget=DateInput)
    ends_on = forms.DateField(
        label="Last day of a shorter first term", widget=DateInput, required=False,
        help_text="Empty: a whole term. Else the price is a part of it, as the plan says.",
    )  # fmt: skip
    price = forms.DecimalField(
        required=False, min_value=0, max_digits=8, decimal_places=2,
        label="Price a term, $", help_text="Empty: the plan's price for that many systems.",
    )  # fmt: skip
    renews = forms.BooleanField(
        required=False, label="The customer agreed to renewal",
        help_text="Only when you asked and the customer said yes. Without it the next term begins "
        "when the customer says so; the letter before the end asks.",
    )  # fmt: skip

    def __init__(
        self, *args: Any, branch: Branch, home: Home | None, today: dt.date, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.home, self.today = home, today
        plan = model_choice(self, "plan")
        plan.queryset = branch.plans.filter(active=True)
        plan.label_from_instance = _plan_words  # type: ignore[assignment,method-assign]  # Django's own way
        self.initial = {"starts_on": today, "rhythm": Rhythm.YEARLY, **self.initial}

    def clean_rhythm(self) -> str:
        return self.cleaned_data["rhythm"] or Rhythm.YEARLY

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
        if plan and starts_on:
            version = version_on(plan=plan, day=starts_on)
            self._check_end(version, starts_on)
            self._check_alone(plan, version, starts_on)
        return cleaned

    def _check_end(self, version: PlanVersion, starts_on: dt.date) -> None:
        ends_on = self.cleaned_data.get("ends_on")
        last = first_term(version, starts_on, None).ends_on
        if ends_on and not starts_on <= ends_on <= last:
            self.add_error(
                "ends_on",
                f"The last day lies between {starts_on:%B %-d, %Y} and {last:%B %-d, %Y}.",
            )

    def _check_alone(self, plan: Plan, version: PlanVersion, starts_on: dt.date) -> None:
        if self.home is None:
            return
        whole = first_term(version, starts_on, self.cleaned_data.get("ends_on"))
        chosen = self.cleaned_data.get("systems", ())
        if twin := overlapping(self.home, plan, chosen, starts_on, whole.ends_on):
            self.add_error(None, twin_words(twin))  # the days stay, so that a price can be said


class AgreementForm(TermsForm):
    """A new agreement for `home`."""

    systems = forms.ModelMultipleChoiceField(
        System.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one system that the checks are for."},
    )
    helper = laid_out(
        Fieldset(
            "Agreement",
            Row("plan", "starts_on"), "systems", Row("rhythm", "price"), "ends_on", "renews",
        )
    )  # fmt: skip

    def __init__(self, *args: Any, home: Home, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, branch=home.customer.branch, home=home, today=today, **kwargs)
        systems = home.systems.all()
        model_choice(self, "systems").queryset = systems
        self.fields["systems"].required = bool(systems)
        self.initial["systems"] = systems


class EnrolForm(TermsForm):
    """The agreement of somebody on the telephone; `home` None: the home is entered with it."""

    systems = forms.ModelMultipleChoiceField(
        System.objects.none(), widget=forms.CheckboxSelectMultiple, required=False,
        label="Systems on file",
    )  # fmt: skip
    new_systems = forms.MultipleChoiceField(
        choices=SystemKind.choices, widget=forms.CheckboxSelectMultiple, required=False,
        label="Systems not on file yet",
    )  # fmt: skip
    signed_by = forms.CharField(
        required=False, max_length=120, label="Signed on paper by",
        help_text="Empty: not signed yet.",
    )  # fmt: skip
    send = forms.BooleanField(required=False, initial=True, label="Send it by e-mail to be signed")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.home is None:
            del self.fields["systems"]
            self.fields["new_systems"].label = "Systems"
        else:
            on_file = self.home.systems.all()
            model_choice(self, "systems").queryset = on_file
            self.initial.setdefault("systems", on_file)
        names = [InlineCheckboxes(n) for n in ("systems", "new_systems") if n in self.fields]
        self.helper = laid_out(
            Fieldset("Systems that are covered", *names),
            Fieldset(
                "Agreement",
                Row("plan", "rhythm"), Row("starts_on", "ends_on"), "price", "renews",
            ),
            Fieldset("Signature", "signed_by", "send"),
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not cleaned.get("systems") and not cleaned.get("new_systems"):
            self.add_error("new_systems", "Choose at least one system that the checks are for.")
        return cleaned

    @property
    def covers(self) -> int:
        """How many systems are chosen so far."""
        chosen = self.cleaned_data
        return len(chosen.get("systems") or ()) + len(chosen.get("new_systems") or ())


class CallerForm(CustomerForm):
    """What one asks a new customer on the telephone; the rest can wait."""

    helper = laid_out(Fieldset("Customer", Row("name", "phone"), Row("email", "language")))

    class Meta(CustomerForm.Meta):
        fields = ["name", "phone", "email", "language"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["second_phone"]


class CallersHomeForm(HomeForm):
    """Where it is; the rest can wait."""

    helper = laid_out(
        Fieldset("Home", Row("street", "unit"), Row("city", "state", "zip")),
    )
    ASKED = ("street", "unit", "city", "state", "zip")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in set(self.fields) - {*self.ASKED, "latitude", "longitude"}:
            del self.fields[name]
        for name in ("latitude", "longitude"):
            self.fields[name].widget = forms.HiddenInput()


def _plan_words(plan: Plan) -> str:
    return f"{plan}, ${plan.price:,.2f}"
