"""Verbs of repairs: agreed to, refused, overtaken. They are proposed by scheduling.actions.watch.

A step carries the version of its visit. Whoever agrees claims the step with one conditional UPDATE
and changes the visit in the same transaction, so of two people one acts and the other is told, and
a process that is killed in the middle leaves the step as it was.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.db import transaction

from scheduling import states
from scheduling.actions.offers import ask_for_a_call, fill_slot, offer_instead
from scheduling.actions.slots import SlotRefused, SlotTaken, take_slot
from scheduling.actions.visits import hold_visit, pencil_visit, promise_visit
from scheduling.announcements import room_was_needed, too_cold_then
from scheduling.models import RepairStep, Season, State, StepState, Visit, What
from scheduling.notice import promised_until
from scheduling.openings import FreeSlot
from shop.models import User

REFUSALS = (SlotTaken, SlotRefused, states.StepRefused)
RELEASED_BY = "the first warm time that suits and is free"
TO_TELL = "to tell: the weather changed the promise; no e-mail address on file"


class RepairRefused(ValueError):
    """What stands in the way, in words for the office."""


def agree_step(*, step: RepairStep, by: User | None, now: dt.datetime) -> RepairStep:
    """Carry out a step with all that goes with it; the customers get their letters.

    One that was overtaken changes nothing and says why in `ended_why`. Raises RepairRefused when
    somebody decided it already.
    """
    lead = step.goes_with or step
    try:
        with transaction.atomic():
            _decide(lead, StepState.AGREED, by, now)
            _carry_out(lead, now, by)
    except REFUSALS as refusal:
        end_step(lead, StepState.OVERTAKEN, str(refusal)[:200], now)
    lead.refresh_from_db()
    return lead


def agree_all(
    *, season: Season, by: User | None, now: dt.datetime
) -> tuple[list[RepairStep], list[RepairStep]]:
    """Agree to every open step, each in a transaction of its own: (carried out, overtaken)."""
    done, overtaken = list[RepairStep](), list[RepairStep]()
    for step in RepairStep.objects.for_season(season).proposed().leading().with_home():
        try:
            decided = agree_step(step=step, by=by, now=now)
        except RepairRefused:
            continue
        (done if decided.state == StepState.AGREED else overtaken).append(decided)
    return done, overtaken


@transaction.atomic
def refuse_step(*, step: RepairStep, by: User | None, now: dt.datetime) -> RepairStep:
    """Leave everything as it stands. Raises RepairRefused when somebody decided it already."""
    lead = step.goes_with or step
    _decide(lead, StepState.REFUSED, by, now)
    lead.refresh_from_db()
    return lead


def _decide(lead: RepairStep, state: str, by: User | None, now: dt.datetime) -> None:
    fields = {"state": state, "decided_by": by, "decided_at": now}
    still_open = RepairStep.objects.filter(pk=lead.pk, state=StepState.PROPOSED)
    if not still_open.update(**fields):
        raise RepairRefused("Someone decided this already, or the weather has changed again.")
    lead.companions.filter(state=StepState.PROPOSED).update(**fields)


def end_step(step: RepairStep, state: str, why: str, now: dt.datetime) -> None:
    """The step and those that go with it."""
    for rows in (RepairStep.objects.filter(pk=step.pk), step.companions.all()):
        rows.filter(state=StepState.PROPOSED).update(state=state, ended_why=why, decided_at=now)


def _carry_out(lead: RepairStep, now: dt.datetime, by: User | None) -> None:
    """Who makes room leaves first, then the visit moves, then they get what is left."""
    companions = list(lead.companions.with_home())
    visit = _fresh(lead, now)
    told = visit.state == State.PROMISED
    pencilled = []
    for step in companions:
        other = _fresh(step, now)
        if other.state in states.AGREED:
            _promise(step, other, room_was_needed(other), now, by, leaves=visit)
            _telephone_without_a_letter(other, now)
        else:
            pencilled.append((step, take_slot(other, State.OWED, now=now, by=by, why=step.why)))
    _move(lead, visit, now, by)
    if told:
        _telephone_without_a_letter(visit, now)
    for step, other in pencilled:
        if step.to_starts_at is not None:
            pencil_visit(visit=other, **_slot(step), now=now, by=by)
    for step in (lead, *companions):
        if step.to_starts_at is not None and step.visit.needs_warmth:
            Visit.objects.filter(pk=step.visit_id).update(warmth=step.warmth_after)


def _telephone_without_a_letter(visit: Visit, now: dt.datetime) -> None:
    """Who cannot be written to would stand at home at the old time."""
    if not visit.owed_visit.home.customer.email:
        ask_for_a_call(visit=visit, why=TO_TELL, now=now)


def _fresh(step: RepairStep, now: dt.datetime) -> Visit:
    """The step's visit as it is now. Raises SlotTaken when it is not what the step saw."""
    visit = Visit.objects.with_home().select_related("season__branch").get(pk=step.visit_id)
    if visit.version != step.version:
        raise SlotTaken("The visit has changed since this was proposed.")
    if step.to_starts_at is not None and step.to_starts_at <= now:
        raise SlotTaken("The proposed time has passed.")
    return visit


def _move(step: RepairStep, visit: Visit, now: dt.datetime, by: User | None) -> None:
    why = too_cold_then(visit)
    if step.what == What.HOLD:
        hold_visit(visit=visit, why=step.why, release=RELEASED_BY, now=now, by=by, told=why)
    elif step.what in (What.RELEASE, What.FILL):
        _place(step, visit, now, by)
    elif visit.state == State.OFFERED:
        offer_instead(visit=visit, **_slot(step), now=now, by=by, why=why)
    else:
        _promise(step, visit, why, now, by)


def _place(step: RepairStep, visit: Visit, now: dt.datetime, by: User | None) -> None:
    """Offer the time to the customer, or pencil it when it is farther ahead than is promised."""
    branch = visit.season.branch
    technician, starts_at, ends_at = step.to_slot
    today = now.astimezone(branch.zone).date()
    last = promised_until(today, branch.promise_days, branch.works_on)
    if starts_at.astimezone(branch.zone).date() > last:
        pencil_visit(visit=visit, **_slot(step), now=now, by=by)
        return
    free = FreeSlot(technician.pk, starts_at, ends_at, step.warmth_after, 0.0)
    fill_slot(visit=visit, slot=free, now=now, by=by)


def _promise(
    step: RepairStep,
    visit: Visit,
    why: str,
    now: dt.datetime,
    by: User | None,
    leaves: Visit | None = None,
) -> None:
    promise_visit(visit=visit, **_slot(step), now=now, by=by, why=why, leaves=leaves)


def _slot(step: RepairStep) -> dict[str, Any]:
    """The step's new slot as the verbs of visits take it."""
    technician, starts_at, ends_at = step.to_slot
    minutes = int((ends_at - starts_at).total_seconds() // 60)
    return {"technician": technician, "starts_at": starts_at, "minutes": minutes}
