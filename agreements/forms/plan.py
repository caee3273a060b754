"""The forms about what a branch sells."""

from __future__ import annotations

import datetime as dt
from typing import Any

from crispy_forms.layout import Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import slugify

from agreements.models import Plan, RefundRule
from agreements.models.plan import PlanTerms
from kit.web.editing import WatchedForm
from kit.web.forms import DateInput, laid_out
from shop.models import Branch

TERMS = [field.name for field in PlanTerms._meta.fields]
_TERMS_LAYOUT = (
    Fieldset("Price", Row("price", "further_system_price"), Row("cooling_alone", "heating_alone")),
    Fieldset(
        "What is promised",
        Row("cooling_checks", "heating_checks"),
        "together",
        "repair_discount_percent",
        "no_overtime_charge",
        "priority",
    ),
    Fieldset("Term", Row("term_months", "notice_days"), "proration_rule", "refund_rule"),
)


class PlanTermsForm(WatchedForm):
    """The terms of a plan as they are sold from a day on: a new version.

    What somebody else wrote down meanwhile is the newest version, which may begin on a later day.
    """

    valid_from = forms.DateField(
        label="Terms that begin from", widget=DateInput,
        help_text="Running agreements keep the terms they were made on.",
    )  # fmt: skip
    helper = laid_out(Fieldset("From when", "valid_from"), *_TERMS_LAYOUT)

    class Meta:
        model = Plan
        fields = TERMS
        labels = {
            "price": "Price a term, $",
            "further_system_price": "Each further system, $",
            "cooling_alone": "A cooling check bought alone, $",
            "heating_alone": "A heating check bought alone, $",
            "cooling_checks": "Cooling checks a term",
            "heating_checks": "Heating checks a term",
            "together": "Both checks in one visit",
            "repair_discount_percent": "Discount on repairs, %",
            "no_overtime_charge": "No overtime charge for repairs",
            "priority": "Priority for repair calls",
            "term_months": "Months of a term",
            "notice_days": "Days of notice",
            "proration_rule": "An agreement that begins inside a term costs",
            "refund_rule": "When it ends early, the customer gets back",
        }
        help_texts = dict.fromkeys(
            ["price", "cooling_alone", "heating_alone", "priority", "together"], ""
        )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.initial.setdefault("valid_from", today)

    def stored(self, instance: Plan) -> dict[str, Any]:
        newest = instance.versions.order_by("-number").first() if instance.pk else None
        if newest is None:
            return super().stored(instance)
        return newest.terms() | {"valid_from": newest.valid_from}

    def clean_valid_from(self) -> dt.date:
        day: dt.date = self.cleaned_data["valid_from"]
        last = self.today + dt.timedelta(days=366)
        if not self.today <= day <= last:
            raise ValidationError(
                f"The first day lies between {self.today:%B %-d, %Y} and {last:%B %-d, %Y}."
            )
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("cooling_checks") and not cleaned.get("heating_checks"):
            self.add_error("cooling_checks", "A plan promises at least one check a term.")
        if cleaned.get("refund_rule") == RefundRule.PRICE_LESS_VISITS:
            for kind in ("cooling", "heating"):
                if cleaned.get(f"{kind}_checks") and not cleaned.get(f"{kind}_alone"):
                    self.add_error(
                        f"{kind}_alone", "The rule for refunds needs the price of this check alone."
                    )
        return cleaned

    def terms(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in TERMS}

    def validate_constraints(self) -> None:
        """Said field by field in `clean`, in words."""


class NewPlanForm(PlanTermsForm):
    """A plan that the branch begins to sell."""

    name = forms.CharField(max_length=80, help_text="As customers read it.")
    helper = laid_out(Fieldset("Plan", Row("name", "valid_from")), *_TERMS_LAYOUT)

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.branch = branch

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        self.code = slugify(name)[:30]
        if not self.code:
            raise ValidationError("Write a name with letters or digits.")
        if self.branch.plans.filter(code=self.code).exists():
            raise ValidationError("The branch has a plan of this name already.")
        return name


class PlanNameForm(WatchedForm):
    """What a plan is called, and whether it is sold."""

    helper = laid_out("name", "active")

    class Meta:
        model = Plan
        fields = ["name", "active"]
        labels = {"active": "It is sold"}
