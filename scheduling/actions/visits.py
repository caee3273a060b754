"""Verbs that change one visit. Each is the only place where its change happens."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.db.models import F

from agreements.actions import close_owed_visit
from agreements.models.owed_visit import Closing
from scheduling import states
from scheduling.models import State, Technician, Visit, Workday

BOOKED = (State.PENCILLED, State.OFFERED, State.PROMISED)


class SlotTaken(ValueError):
    """The technician already has a visit at that time."""


class SlotRefused(ValueError):
    """The technician or the customer cannot have that slot, in words."""


@transaction.atomic
def pencil_visit(
    *, visit: Visit, technician: Technician, starts_at: dt.datetime, minutes: int
) -> Visit:
    """Give a visit a slot of which the customer is not told."""
    return _give_slot(visit, State.PENCILLED, technician, starts_at, minutes)


@transaction.atomic
def promise_visit(
    *, visit: Visit, technician: Technician, starts_at: dt.datetime, minutes: int
) -> Visit:
    """Write down a slot that the customer agreed to, for example on the telephone."""
    return _give_slot(visit, State.PROMISED, technician, starts_at, minutes)


@transaction.atomic
def hold_visit(*, visit: Visit, why: str, release: str, now: dt.datetime) -> Visit:
    """Let a cooling check wait for warmth: since now, why, and what will release it."""
    if not visit.needs_warmth:
        raise SlotRefused("Only a cooling check waits for warmth; this visit needs none.")
    return _take_slot(visit, State.HELD, held_since=now, why=why, release=release)


@transaction.atomic
def unplace_visit(*, visit: Visit, why: str = "") -> Visit:
    """Take a visit out of its slot, or end its hold: it is owed again."""
    return _take_slot(visit, State.OWED, why=why)


@transaction.atomic
def waive_visit(*, visit: Visit, why: str, today: dt.date) -> Visit:
    """The customer lets the visit go; the agreement no longer owes it."""
    close_owed_visit(owed=visit.owed_visit, closed=Closing.WAIVED, on=today, why=why)
    return _take_slot(visit, State.WAIVED, why=why)


def _give_slot(visit, state, technician, starts_at, minutes) -> Visit:
    if minutes <= 0:
        raise SlotRefused(f"A visit lasts at least one minute, not {minutes}.")
    ends_at = starts_at + dt.timedelta(minutes=minutes)
    lock_workday(technician, starts_at.astimezone(technician.branch.zone).date())
    in_the_way = (
        Visit.objects.filter(technician=technician, state__in=BOOKED)
        .filter(starts_at__lt=ends_at, ends_at__gt=starts_at)
        .exclude(pk=visit.pk)
        .first()
    )
    if in_the_way:
        clock = in_the_way.slot[0].astimezone(technician.branch.zone)
        raise SlotTaken(f"{technician} already has a visit at {clock:%-I:%M %p} that day.")
    return _change(
        visit, state, technician=technician, starts_at=starts_at, ends_at=ends_at, held_since=None,
        why="", release="", warmth=None, travel_added_min=None,
    )  # fmt: skip


def _take_slot(visit, state, *, held_since=None, why="", release="") -> Visit:
    return _change(
        visit, state, technician=None, starts_at=None, ends_at=None, held_since=held_since,
        why=why, release=release, warmth=None, travel_added_min=None,
    )  # fmt: skip


def _change(visit: Visit, state: str, **fields: object) -> Visit:
    """Write the new state unless someone else changed the visit meanwhile."""
    states.check_step(visit.state, state)
    changed = Visit.objects.filter(pk=visit.pk, version=visit.version).update(
        state=state, version=F("version") + 1, **fields
    )
    if not changed:
        raise SlotTaken("Someone changed this visit meanwhile; look at it again.")
    visit.refresh_from_db()
    return visit


def lock_workday(technician: Technician, day: dt.date) -> None:
    """Hold the technician's day until the transaction ends, so that bookings queue up."""
    workday, _ = Workday.objects.get_or_create(technician=technician, day=day)
    Workday.objects.filter(pk=workday.pk).update(version=F("version") + 1)
