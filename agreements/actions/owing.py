"""Verbs about the visits that agreements owe."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction

from agreements.models import Agreement, Ended, OwedVisit
from agreements.models.owed_visit import Closing
from agreements.terms import Owed, owed_in, window_around

LET_GO = "the agreement"  # how the reason of a visit begins that ended with its agreement


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


def owe_visits(*, agreements: Iterable[Agreement]) -> int:
    """Write down every visit that these terms owe; returns how many were new.

    Safe to repeat: the database refuses a second visit of the same kind and number.
    """
    return owe_these(
        owed={
            agreement: owed_in(agreement.term, **agreement.version.checks)
            for agreement in agreements
        }
    )


@transaction.atomic
def owe_these(*, owed: dict[Agreement, list[Owed]]) -> int:
    """Write down these visits; returns how many were new."""
    wanted = [
        OwedVisit(
            agreement=agreement,
            kind=visit.kind,
            number=visit.number,
            due_from=visit.due_from,
            due_until=visit.due_until,
        )
        for agreement, visits in owed.items()
        for visit in visits
    ]
    before = OwedVisit.objects.count()
    OwedVisit.objects.bulk_create(wanted, ignore_conflicts=True, batch_size=500)
    return OwedVisit.objects.count() - before


def close_owed_visit(*, owed: OwedVisit, closed: str, on: dt.date, why: str = "") -> OwedVisit:
    """Mark a visit done or waived."""
    owed.closed, owed.closed_on, owed.why_waived = closed, on, why
    owed.save(update_fields=["closed", "closed_on", "why_waived"])
    return owed


def let_visits_go(*, agreement: Agreement, on: dt.date, why: str) -> int:
    """Close all that an ended agreement still owes."""
    return agreement.owed_visits.still_owed().update(
        closed=Closing.WAIVED, closed_on=on, why_waived=why
    )


def end_early(*, agreement: Agreement, on: dt.date, because: str, why: str) -> None:
    """`on` becomes the first day without the agreement; what it still owes is let go."""
    agreement.cancelled_on, agreement.ended_because, agreement.why_ended = on, because, why[:200]
    agreement.renews = False
    agreement.save(update_fields=["cancelled_on", "ended_because", "why_ended", "renews"])
    let_visits_go(agreement=agreement, on=on, why=f"{LET_GO} {Ended(because).label}")


def revive(*, agreement: Agreement) -> None:
    """Undo the early end of a term that had not begun."""
    agreement.cancelled_on, agreement.ended_because, agreement.why_ended = None, "", ""
    agreement.save(update_fields=["cancelled_on", "ended_because", "why_ended"])
    let_go = agreement.owed_visits.filter(closed=Closing.WAIVED, why_waived__startswith=LET_GO)
    let_go.update(closed="", closed_on=None, why_waived="")
    agreement.charges.update(withdrawn_on=None)


def move_around_pause(*, agreement: Agreement, first: dt.date, last: dt.date) -> int:
    """Shift the due windows that a pause falls into; returns how many."""
    moved = []
    for owed in agreement.owed_visits.still_owed():
        before = owed.due_from, owed.due_until
        owed.due_from, owed.due_until = window_around(owed.kind, *before, first, last)
        if (owed.due_from, owed.due_until) != before:
            moved.append(owed)
    OwedVisit.objects.bulk_update(moved, ["due_from", "due_until"])
    return len(moved)


def move_back(*, agreement: Agreement) -> None:
    """Give what is still owed the due windows that the term had given it."""
    usual = {
        (owed.kind, owed.number): owed
        for owed in owed_in(agreement.term, **agreement.version.checks)
    }
    for owed in agreement.owed_visits.still_owed():
        as_sold = usual.get((owed.kind, owed.number))
        if as_sold is not None:
            owed.due_from = max(as_sold.due_from, agreement.starts_on)
            owed.due_until = as_sold.due_until
            owed.save(update_fields=["due_from", "due_until"])
