"""What happened at a home: its agreements' and its visits' histories, joined, newest first."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from agreements.models import AgreementEvent
from customers.models import Home
from scheduling.models import VisitEvent
from shop.models import User

# Of each of the two, more than a home gathers in twenty years.
MOST = 500


@dataclass(frozen=True, slots=True)
class Happened:
    """One line; exactly one of `agreement` and `visit` is there."""

    at: dt.datetime
    by: User | None
    agreement: AgreementEvent | None = None
    visit: VisitEvent | None = None


def history_of(home: Home) -> list[Happened]:
    """Two queries, however long."""
    agreements = AgreementEvent.objects.filter(agreement__home=home).select_related(
        "by", "agreement__plan"
    )
    visits = VisitEvent.objects.filter(visit__owed_visit__agreement__home=home).select_related(
        "by", "technician", "was_technician", "visit__owed_visit"
    )
    lines = [Happened(one.at, one.by, agreement=one) for one in agreements[:MOST]]
    lines += [Happened(one.at, one.by, visit=one) for one in visits[:MOST]]
    return sorted(lines, key=lambda line: line.at, reverse=True)
