"""Verbs that change what a branch sells. Agreements made before never notice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.db import transaction

from agreements.models import Plan, PlanEvent, PlanVersion
from shop.models import Branch, User


def price_of(plan: Plan, systems: int) -> Decimal:
    """The price on offer today for that many systems (at least one)."""
    return plan.price_for(systems)


def version_on(*, plan: Plan, day: dt.date) -> PlanVersion:
    """The terms on which a term beginning on `day` is sold; the first ones for an earlier day.

    A plan that has no version yet (made by an import) gets its first.
    """
    found = in_force(PlanVersion.objects.filter(plan=plan), day)
    if found is None:
        found, _ = PlanVersion.objects.get_or_create(
            plan=plan, number=1, defaults={"valid_from": day, **plan.terms()}
        )
    return found


def in_force(versions: Iterable[PlanVersion], day: dt.date) -> PlanVersion | None:
    """Of one plan's versions, that on which a term from `day` on is sold; None: it has none."""
    known = list(versions)
    counting = [version for version in known if version.valid_from <= day]
    if counting:
        return max(counting, key=lambda version: (version.valid_from, version.number))
    return min(known, key=lambda version: version.number, default=None)


@transaction.atomic
def open_plan(
    *, branch: Branch, name: str, code: str, terms: Mapping[str, Any], today: dt.date, by: User
) -> Plan:
    """Begin to sell a plan."""
    plan = Plan.objects.create(branch=branch, name=name, code=code, **terms)
    PlanVersion.objects.create(plan=plan, number=1, valid_from=today, made_by=by, **terms)
    return plan


@transaction.atomic
def change_plan_terms(
    *, plan: Plan, terms: Mapping[str, Any], valid_from: dt.date, today: dt.date, by: User
) -> PlanVersion:
    """Sell the plan on other terms from a day on: a new version. Running terms keep theirs."""
    version_on(plan=plan, day=today)  # what was sold until now is written down first
    Plan.objects.select_for_update().get(pk=plan.pk)
    last = PlanVersion.objects.filter(plan=plan).order_by("-number").first()
    assert last is not None  # version_on has seen to it
    version = PlanVersion.objects.create(
        plan=plan, number=last.number + 1, valid_from=valid_from, made_by=by, **terms
    )
    bring_into_force(plan=plan, today=today)
    return version


def bring_into_force(*, plan: Plan, today: dt.date) -> None:
    """Show what is on offer today: the terms of the version that counts now."""
    version = in_force(PlanVersion.objects.filter(plan=plan), today)
    if version is not None and version.terms() != plan.terms():
        for name, value in version.terms().items():
            setattr(plan, name, value)
        plan.save()


@transaction.atomic
def rename_plan(*, plan: Plan, name: str, active: bool, by: User) -> Plan:
    """Call a plan otherwise, or stop (or begin again) to sell it; who did it is written down."""
    before = Plan.objects.select_for_update().get(pk=plan.pk)
    told = []
    if before.name != name:
        told.append(f"“{before.name}” is called “{name}”")
    if before.active != active:
        told.append("sold again" if active else "no longer sold")
    plan.name, plan.active = name, active
    plan.save(update_fields=["name", "active"])
    PlanEvent.objects.bulk_create(PlanEvent(plan=plan, by=by, words=words) for words in told)
    return plan
