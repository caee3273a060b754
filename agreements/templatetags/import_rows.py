"""Words and fields of the import's dry run."""

from __future__ import annotations

from django import forms, template

from agreements.models import Plan

register = template.Library()


@register.filter
def answer_for(answers: forms.Form, row: int) -> forms.BoundField:
    """The field in which the office answers the offer of a row."""
    return answers[f"row-{row}"]


@register.filter
def new_plan_words(plan: Plan) -> str:
    """A plan that the import makes, because the branch has none of its code."""
    checks = {1: "one check", 2: "two checks"}[plan.cooling_checks + plan.heating_checks]
    return (
        f"The plan {plan.name} ({checks} a year) is not there yet. It is made at "
        f"${plan.price:,.2f} a term, the price that most of its rows have."
    )


@register.filter
def refused_words(count: int) -> str:
    """How many rows stay out until they are corrected."""
    rows = "1 row is refused and stays" if count == 1 else f"{count:,} rows are refused and stay"
    return f"{rows} out of the import."


@register.filter
def alike_words(count: int) -> str:
    """How many rows wait for an answer."""
    rows = "1 row looks" if count == 1 else f"{count:,} rows look"
    return f"{rows} like another one; they wait until you say whether they are one or two."
