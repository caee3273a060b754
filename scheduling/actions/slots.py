"""How a visit gets and loses its slot: the one place where two bookings could collide.

A booking holds the technician's day (`Workday`) until its transaction ends, looks for what is in
the way, and changes the visit only if nobody else changed it meanwhile.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.db.models import F

from scheduling import states
from scheduling.models import SlotHold, Technician, Visit, VisitEvent, Workday
from shop.models import User

BOOKED = (states.PENCILLED, states.OFFERED, states.PROMISED)


class SlotTaken(ValueError):
    """Somebody else has the slot, or changed the visit meanwhile."""


class SlotRefused(ValueError):
    """The technician or the customer cannot have that slot, in words."""


def give_slot(
    visit: Visit,
    state: str,
    technician: Technician,
    starts_at: dt.datetime,
    minutes: float,
    now: dt.datetime,
    *,
    by: User | None = None,
    why: str = "",
    pencilled_give_way: bool = False,
    leaves: Visit | None = None,
) -> Visit:
    """Put the visit into a slot that is free. Raises SlotTaken, SlotRefused or StepRefused.

    `pencilled_give_way`: visits of which no customer knows lose that time, and the next plan
    places them anew. `leaves`: a visit that gets another slot in the same transaction.
    """
    if minutes <= 0:
        raise SlotRefused(f"A visit lasts at least one minute, not {minutes:g}.")
    ends_at = starts_at + dt.timedelta(minutes=minutes)
    lock_workday(technician, starts_at)
    if pencilled_give_way:
        _make_room(visit, technician, starts_at, ends_at, now, by)
    own = [visit.pk] if leaves is None else [visit.pk, leaves.pk]
    _refuse_clash(own, technician, starts_at, ends_at, now, BOOKED)
    SlotHold.objects.filter(visit=visit).delete()
    fields = {"technician": technician, "starts_at": starts_at, "ends_at": ends_at}
    return change(visit, state, now=now, by=by, told=why, **_BARE | fields)


def _make_room(
    visit: Visit,
    technician: Technician,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    now: dt.datetime,
    by: User | None,
) -> None:
    in_the_way = Visit.objects.filter(
        technician=technician, state=states.PENCILLED, starts_at__lt=ends_at, ends_at__gt=starts_at
    ).exclude(pk=visit.pk)
    for other in in_the_way:
        why = "Its pencilled time went to a customer; plan again."
        take_slot(other, states.OWED, now=now, by=by, why=why)


def take_slot(
    visit: Visit, state: str, *, now: dt.datetime, by: User | None = None, **more: Any
) -> Visit:
    """Empty the visit's slot."""
    SlotHold.objects.filter(visit=visit).delete()
    return change(visit, state, now=now, by=by, **_BARE | more)


_BARE: dict[str, Any] = {
    "technician": None, "starts_at": None, "ends_at": None, "held_since": None,
    "why": "", "release": "", "warmth": None, "travel_added_min": None,
}  # fmt: skip


def change(
    visit: Visit,
    state: str,
    *,
    now: dt.datetime,
    by: User | None = None,
    told: str = "",
    **fields: Any,
) -> Visit:
    """Write the new state unless someone else changed the visit meanwhile, and who did it.

    `by` None: the customer through her link, or Redbud; `told` then says which, else why.
    Whenever a slot that the customer was told of changes, its calendar sequence rises.
    """
    states.check_step(visit.state, state)
    agreed = visit.state in states.AGREED
    moved = fields.get("starts_at", visit.starts_at) != visit.starts_at
    changed = Visit.objects.filter(pk=visit.pk, version=visit.version).update(
        state=state,
        version=F("version") + 1,
        sequence=F("sequence") + int(agreed and moved),
        **fields,
    )
    if not changed:
        raise SlotTaken("Someone changed this visit meanwhile; look at it again.")
    event = VisitEvent(
        visit=visit, at=now, by=by, was=visit.state, was_technician_id=visit.technician_id,
        was_starts_at=visit.starts_at, words=(told or str(fields.get("why", "")))[:300],
    )  # fmt: skip
    visit.refresh_from_db()
    event.state, event.starts_at = visit.state, visit.starts_at
    event.technician_id = visit.technician_id
    event.save()
    return visit


def lock_workday(technician: Technician, moment: dt.datetime) -> None:
    """Hold the technician's day until the transaction ends, so that bookings queue up."""
    day = moment.astimezone(technician.branch.zone).date()
    workday, _ = Workday.objects.get_or_create(technician=technician, day=day)
    Workday.objects.filter(pk=workday.pk).update(version=F("version") + 1)


def hold_slot(
    visit: Visit,
    technician: Technician,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    *,
    now: dt.datetime,
    lasts: dt.timedelta,
) -> SlotHold:
    """Keep a slot that is free or only pencilled, for a customer who chooses. Raises SlotTaken."""
    lock_workday(technician, starts_at)
    _refuse_clash([visit.pk], technician, starts_at, ends_at, now, states.AGREED)
    return SlotHold.objects.update_or_create(
        visit=visit,
        defaults={
            "technician": technician,
            "starts_at": starts_at,
            "ends_at": ends_at,
            "until": now + lasts,
        },
    )[0]


def _refuse_clash(
    own: list[int],
    technician: Technician,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    now: dt.datetime,
    states_taken: tuple[str, ...],
) -> None:
    overlapping = {"technician": technician, "starts_at__lt": ends_at, "ends_at__gt": starts_at}
    booked = Visit.objects.filter(state__in=states_taken, **overlapping).exclude(pk__in=own).first()
    if booked:
        clock = booked.slot[0].astimezone(technician.branch.zone)
        raise SlotTaken(f"{technician} already has a visit at {clock:%-I:%M %p} that day.")
    if SlotHold.objects.live(now).filter(**overlapping).exclude(visit__in=own).exists():
        raise SlotTaken(f"A customer is just choosing that time with {technician}.")
