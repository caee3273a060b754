"""Verbs that change one visit. Each is the only place where its change happens.

`by`: who of the staff; None: the customer through her link, or Redbud by itself.
"""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from agreements.actions import close_owed_visit
from agreements.models.owed_visit import Closing
from letters.actions.write import withdraw_letters
from scheduling.actions.slots import SlotRefused, change, give_slot, take_slot
from scheduling.announcements import about, announce_cancelled, announce_moved, announce_promised
from scheduling.models import Answer, Outcome, State, Technician, Trip, Visit
from scheduling.states import AGREED, STANDING
from shop.models import User


def stands_so(
    visit: Visit, state: str, technician: Technician, starts_at: dt.datetime, minutes: int
) -> bool:
    """Is this how the visit stands already?"""
    asked = state, technician.pk, starts_at, starts_at + dt.timedelta(minutes=minutes)
    return asked == (visit.state, visit.technician_id, visit.starts_at, visit.ends_at)


@transaction.atomic
def pencil_visit(
    *,
    visit: Visit,
    technician: Technician,
    starts_at: dt.datetime,
    minutes: int,
    now: dt.datetime,
    by: User | None = None,
) -> Visit:
    """Give a visit a slot of which the customer is not told. Safe to repeat."""
    if stands_so(visit, State.PENCILLED, technician, starts_at, minutes):
        return visit
    return give_slot(visit, State.PENCILLED, technician, starts_at, minutes, now, by=by)


@transaction.atomic
def promise_visit(
    *,
    visit: Visit,
    technician: Technician,
    starts_at: dt.datetime,
    minutes: int,
    now: dt.datetime,
    by: User | None = None,
    why: str = "",
    noted: str = "",
    pencilled_give_way: bool = False,
    leaves: Visit | None = None,
) -> Visit:
    """Write down a slot that the customer agreed to, and confirm it by letter.

    A promise that moves is announced as moved; `why` is told to the customer.
    `noted`: what the visit's history says instead.
    `pencilled_give_way`, `leaves`: see give_slot.
    Safe to repeat: the same promise again changes nothing and takes back no letter.
    """
    if stands_so(visit, State.PROMISED, technician, starts_at, minutes):
        return visit
    old = visit.starts_at if visit.state == State.PROMISED else None
    give_slot(
        visit, State.PROMISED, technician, starts_at, minutes, now, by=by, why=noted or why,
        pencilled_give_way=pencilled_give_way, leaves=leaves,
    )  # fmt: skip
    withdraw_letters(about=about(visit), why="the visit has another time")
    visit.offers.open().update(answer=Answer.ACCEPTED, answered_at=now)
    visit.offers.to_call().update(call_since=None)  # also of an offer that was taken back before
    if old is None:
        announce_promised(visit, now)
    elif old != visit.starts_at:
        announce_moved(visit, old, now, why)
    return visit


@transaction.atomic
def hold_visit(
    *,
    visit: Visit,
    why: str,
    release: str,
    now: dt.datetime,
    by: User | None = None,
    told: str | None = None,
) -> Visit:
    """Let a cooling check wait for warmth: since now, why, and what will release it.

    `told`: what the customer reads instead of `why`.
    """
    if not visit.needs_warmth:
        raise SlotRefused("Only a cooling check waits for warmth; this visit needs none.")
    told = why if told is None else told
    return _lose_slot(visit, State.HELD, now, told, by, held_since=now, why=why, release=release)


@transaction.atomic
def unplace_visit(
    *, visit: Visit, now: dt.datetime, by: User | None = None, why: str = ""
) -> Visit:
    """Take a visit out of its slot, or end its hold: it is owed again."""
    return _lose_slot(visit, State.OWED, now, why, by, why=why)


@transaction.atomic
def waive_visit(*, visit: Visit, why: str, now: dt.datetime, by: User | None = None) -> Visit:
    """The customer lets the visit go; the agreement no longer owes it."""
    today = now.astimezone(visit.season.branch.zone).date()
    close_owed_visit(owed=visit.owed_visit, closed=Closing.WAIVED, on=today, why=why)
    return _lose_slot(visit, State.WAIVED, now, "", by, why=why)


@transaction.atomic
def let_go(*, visit: Visit, now: dt.datetime, told_why: str, why: str) -> Visit:
    """The agreement has let it go already: its slot is free, and who was promised it is told."""
    return _lose_slot(visit, State.WAIVED, now, told_why, None, why=why)


@transaction.atomic
def complete_visit(*, visit: Visit, now: dt.datetime, by: User | None = None) -> Visit:
    """The visit was carried out: the agreement no longer owes it, and the trip is on record."""
    trip = _trip(visit, Outcome.DONE, now)
    change(visit, State.DONE, now=now, by=by)
    trip.save()
    _close_talk(visit, now, "the visit is done")
    today = now.astimezone(visit.season.branch.zone).date()
    close_owed_visit(owed=visit.owed_visit, closed=Closing.DONE, on=today)
    return visit


@transaction.atomic
def leave_test_owed(*, visit: Visit, now: dt.datetime, why: str, by: User | None = None) -> Visit:
    """Cleaned, but too cold to test: only a short visit for the test is owed, held for warmth.

    The trip stays on record. The customer saw the technician, so no letter takes a time back.
    """
    if not visit.needs_warmth:
        raise SlotRefused("Only a cooling check can be left without its test.")
    trip = _trip(visit, Outcome.COLD, now, why)
    take_slot(
        visit, State.HELD, now=now, by=by, test_only=True, held_since=now, why=why,
        release="a day that suits and is warm enough for the test",
    )  # fmt: skip
    trip.save()
    _close_talk(visit, now, "the technician came")
    return visit


@transaction.atomic
def miss_visit(
    *,
    visit: Visit,
    now: dt.datetime,
    why: str,
    by: User | None = None,
    outcome: str = Outcome.ABSENT,
) -> Visit:
    """The customer was absent, or the trip was lost for the cause that `outcome` names."""
    if outcome == Outcome.DONE:
        raise SlotRefused("A visit that was done is not missed.")
    trip = _trip(visit, outcome, now, why)
    change(visit, State.MISSED, now=now, by=by, why=why)
    trip.save()
    _close_talk(visit, now, "the visit was missed")
    return visit


def _trip(visit: Visit, outcome: str, now: dt.datetime, why: str = "") -> Trip:
    """The drive as it goes on record: read before the slot is emptied, saved once it was."""
    if visit.state not in STANDING or visit.technician is None:
        raise SlotRefused(f"A visit that is {visit.state} has no technician under way.")
    if outcome != Outcome.DONE and not why.strip():
        raise SlotRefused("Say why the visit was not done.")
    return Trip(
        visit=visit, technician=visit.technician, starts_at=visit.slot[0], ended_at=now,
        outcome=outcome, why=why, warmth=visit.warmth, test_only=visit.test_only,
    )  # fmt: skip


def _close_talk(visit: Visit, now: dt.datetime, why: str) -> None:
    """What was not sent yet about the slot is withdrawn, and nobody waits for an answer."""
    withdraw_letters(about=about(visit), why=why)
    visit.offers.open().update(answer=Answer.TAKEN_BACK, answered_at=now, call_since=None)


def _lose_slot(
    visit: Visit, state: str, now: dt.datetime, told_why: str, by: User | None, **more: object
) -> Visit:
    """Empty a slot; a customer who was told of it is told, and her calendar with her."""
    told, promised, slot = visit.state in AGREED, visit.state == State.PROMISED, visit.slot_or_none
    take_slot(visit, state, now=now, by=by, **more)
    if told:
        withdraw_letters(about=about(visit), why="the visit has lost its time")
        visit.offers.open().update(answer=Answer.TAKEN_BACK, answered_at=now)
    if promised and slot:
        announce_cancelled(visit, slot, now, told_why)
    return visit
