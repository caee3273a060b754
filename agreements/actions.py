"""Verbs that change agreements and what they owe."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from django.db import transaction

from agreements.models import Agreement, OwedVisit, Plan
from agreements.models.owed_visit import Closing
from agreements.terms import owed_in, term
from customers.models import Home, System
from shop.models import Branch


@transaction.atomic
def make_agreement(
    *,
    home: Home,
    plan: Plan,
    starts_on: dt.date,
    systems: Iterable[System] = (),
    price: Decimal | None = None,
    renews: bool = True,
) -> Agreement:
    """Begin the first term of an agreement and write down what it owes.

    `price` None means the plan's price for that many systems.
    """
    covered = list(systems)
    first = term(starts_on, plan.term_months, 0)
    agreement = Agreement.objects.create(
        home=home,
        plan=plan,
        anchor_on=starts_on,
        starts_on=first.starts_on,
        ends_on=first.ends_on,
        price=price_of(plan, len(covered)) if price is None else price,
        renews=renews,
    )
    agreement.systems.set(covered)
    owe_visits(agreements=[agreement])
    close_checks_on_file(agreement=agreement)
    return agreement


def price_of(plan: Plan, systems: int) -> Decimal:
    """The plan's price for that many systems (at least one)."""
    return plan.price + plan.further_system_price * max(systems - 1, 0)


@transaction.atomic
def renew_agreement(*, agreement: Agreement, price: Decimal | None = None) -> Agreement:
    """Begin the next term. Renewing twice gives back the term that is already there."""
    following = agreement.next_term()
    renewed, new = Agreement.objects.get_or_create(
        home=agreement.home,
        plan=agreement.plan,
        starts_on=following.starts_on,
        defaults={
            "anchor_on": agreement.anchor_on,
            "term_number": following.number,
            "ends_on": following.ends_on,
            "price": agreement.price if price is None else price,
            "renews": agreement.renews,
        },
    )
    if new:
        renewed.systems.set(agreement.systems.all())
        owe_visits(agreements=[renewed])
    return renewed


def renew_through(*, branch: Branch, last: dt.date) -> int:
    """Begin every term that a renewing agreement enters by `last`; returns how many.

    A season is planned months ahead; a check of the coming term belongs in it.
    """
    renewed = 0
    while due := list(
        Agreement.objects.of(branch)
        .renewing_without_successor()
        .filter(ends_on__lt=last)
        .select_related("plan", "home")
    ):
        for agreement in due:
            renew_agreement(agreement=agreement)
        renewed += len(due)
    return renewed


def close_checks_on_file(*, agreement: Agreement) -> int:
    """Close the cooling check of a term whose systems were checked since it came due.

    This is how a shop's history comes in: its list says when each system was last checked.
    """
    days = [s.last_checked_on for s in agreement.systems.all() if s.cools and s.last_checked_on]
    if not days:
        return 0
    checked_on = min(days)
    return (
        agreement.owed_visits.still_owed()
        .needing_warmth()
        .filter(due_from__lte=checked_on, due_until__gte=checked_on)
        .update(closed=Closing.DONE, closed_on=checked_on)
    )


@transaction.atomic
def owe_visits(*, agreements: Iterable[Agreement]) -> int:
    """Write down every visit that these terms owe; returns how many were new.

    Safe to repeat: the database refuses a second visit of the same kind and number.
    """
    wanted = [
        OwedVisit(
            agreement=agreement,
            kind=owed.kind,
            number=owed.number,
            due_from=owed.due_from,
            due_until=owed.due_until,
        )
        for agreement in agreements
        for owed in owed_in(
            agreement.term,
            cooling=agreement.plan.cooling_checks,
            heating=agreement.plan.heating_checks,
            together=agreement.plan.together,
        )
    ]
    before = OwedVisit.objects.count()
    OwedVisit.objects.bulk_create(wanted, ignore_conflicts=True, batch_size=500)
    return OwedVisit.objects.count() - before


def close_owed_visit(*, owed: OwedVisit, closed: str, on: dt.date, why: str = "") -> OwedVisit:
    """Mark a visit done or waived."""
    owed.closed, owed.closed_on, owed.why_waived = closed, on, why
    owed.save(update_fields=["closed", "closed_on", "why_waived"])
    return owed
