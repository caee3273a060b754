"""Verbs that change one visit. Each is the only place where its change happens."""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from agreements.actions import close_owed_visit
from agreements.models.owed_visit import Closing
from letters.actions.write import withdraw_letters
from scheduling.actions.slots import SlotRefused, give_slot, take_slot
from scheduling.announcements import about, announce_cancelled, announce_moved, announce_promised
from scheduling.models import Answer, State, Technician, Visit
from scheduling.states import AGREED


@transaction.atomic
def pencil_visit(
    *, visit: Visit, technician: Technician, starts_at: dt.datetime, minutes: int, now: dt.datetime
) -> Visit:
    """Give a visit a slot of which the customer is not told."""
    return give_slot(visit, State.PENCILLED, technician, starts_at, minutes, now)


@transaction.atomic
def promise_visit(
    *,
    visit: Visit,
    technician: Technician,
    starts_at: dt.datetime,
    minutes: int,
    now: dt.datetime,
    why: str = "",
    pencilled_give_way: bool = False,
) -> Visit:
    """Write down a slot that the customer agreed to, and confirm it by letter.

    A promise that moves is announced as moved; `why` is told to the customer.
    `pencilled_give_way`: see give_slot.
    """
    old = visit.starts_at if visit.state == State.PROMISED else None
    give_slot(
        visit, State.PROMISED, technician, starts_at, minutes, now,
        pencilled_give_way=pencilled_give_way,
    )  # fmt: skip
    withdraw_letters(about=about(visit), why="the visit has another time")
    visit.offers.open().update(answer=Answer.ACCEPTED, answered_at=now, call_since=None)
    if old is None:
        announce_promised(visit, now)
    elif old != visit.starts_at:
        announce_moved(visit, old, now, why)
    return visit


@transaction.atomic
def hold_visit(*, visit: Visit, why: str, release: str, now: dt.datetime) -> Visit:
    """Let a cooling check wait for warmth: since now, why, and what will release it."""
    if not visit.needs_warmth:
        raise SlotRefused("Only a cooling check waits for warmth; this visit needs none.")
    return _lose_slot(visit, State.HELD, now, why, held_since=now, why=why, release=release)


@transaction.atomic
def unplace_visit(*, visit: Visit, now: dt.datetime, why: str = "") -> Visit:
    """Take a visit out of its slot, or end its hold: it is owed again."""
    return _lose_slot(visit, State.OWED, now, why, why=why)


@transaction.atomic
def waive_visit(*, visit: Visit, why: str, now: dt.datetime) -> Visit:
    """The customer lets the visit go; the agreement no longer owes it."""
    today = now.astimezone(visit.season.branch.zone).date()
    close_owed_visit(owed=visit.owed_visit, closed=Closing.WAIVED, on=today, why=why)
    return _lose_slot(visit, State.WAIVED, now, "", why=why)


def _lose_slot(visit: Visit, state: str, now: dt.datetime, told_why: str, **more: object) -> Visit:
    """Empty a slot; a customer who was told of it is told, and her calendar with her."""
    told, promised, slot = visit.state in AGREED, visit.state == State.PROMISED, visit.slot_or_none
    take_slot(visit, state, **more)
    if told:
        withdraw_letters(about=about(visit), why="the visit has lost its time")
        visit.offers.open().update(answer=Answer.TAKEN_BACK, answered_at=now)
    if promised and slot:
        announce_cancelled(visit, slot, now, told_why)
    return visit
