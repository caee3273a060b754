"""Free times for one visit, from rows: between everything that stands and every held slot."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kit.when import days_between, minute_of_day, moment_at
from scheduling import planner, states
from scheduling.models import SlotHold, Visit
from scheduling.planner.problem import HALF_HOURS
from scheduling.reading import SeasonReader
from scheduling.roads import drives_between
from scheduling.snapshot import index_of

BOOKED = (states.PENCILLED, states.OFFERED, states.PROMISED)


@dataclass(frozen=True, slots=True)
class FreeSlot:
    """A slot that is really free. `warmth` None: the visit needs none."""

    technician: int
    starts_at: dt.datetime
    ends_at: dt.datetime
    warmth: float | None
    travel_added_min: float


def free_slots(
    visit: Visit,
    *,
    now: dt.datetime,
    most: int = 6,
    until: dt.date | None = None,
    quite_free: bool = False,
) -> list[FreeSlot]:
    """The best free slots of different half days but its own, in order of time.

    From tomorrow to the end of the season, or `until` a day before that. When too few are quite
    free, times of pencilled visits come too, unless `quite_free`: their customers were not told
    and they give way. Raises SeasonCannotBePlanned when it must be warm and there is no climate.
    """
    season, zone = visit.season, visit.season.branch.zone
    tomorrow = now.astimezone(zone).date() + dt.timedelta(days=1)
    last = min(season.ends_on, until or season.ends_on)
    days = days_between(max(season.starts_on, tomorrow), last)
    if not days or visit.owed_visit.home.latitude is None:
        return []
    reader = SeasonReader(season.branch, days, now)
    workdays = tuple(reader.workdays())
    wanted = reader.visit(visit)
    problem = planner.Problem(
        days=len(days),
        travel_min=np.zeros((1, 1), dtype=np.float32),
        workdays=workdays,
        visits=(),
        warmth=warmth_for(reader, wanted),
        least_warmth=season.branch.least_warmth,
    )
    places, slots = reader.places.listed, dict[dt.datetime, FreeSlot]()
    drive = drives_between(places, season.branch)
    for states_taken in (BOOKED,) if quite_free else (BOOKED, states.AGREED):
        stops = taken_slots(visit, reader, workdays, now, states_taken)
        found = planner.openings(problem, wanted, stops, drive)
        for opening in found:
            slot = _slot(opening, workdays, days, visit, wanted.service_min)
            if slot.starts_at != visit.starts_at and len(slots) < most:
                slots.setdefault(slot.starts_at, slot)
        if len(slots) >= most:
            break
    return [slots[starts_at] for starts_at in sorted(slots)]


def warmth_for(reader: SeasonReader, wanted: planner.Visit) -> npt.NDArray[np.float64]:
    """What needs no warmth asks for none, so that it finds times before there is a climate."""
    if wanted.warmth_class is None:
        return np.zeros((1, len(reader.days), HALF_HOURS))
    return reader.warmth()


def still_free(slots: list[FreeSlot], visit: Visit, *, now: dt.datetime) -> list[FreeSlot]:
    """Those of the slots that lie ahead and in which nobody else came meanwhile; one query.

    As a booking will see it: visits of which no customer knows give way. Drives are not looked
    at again, for the times were found together a moment ago.
    """
    ahead = [slot for slot in slots if slot.starts_at > now]
    if not ahead:
        return []
    ours = {
        "technician__in": {slot.technician for slot in ahead},
        "starts_at__lt": max(slot.ends_at for slot in ahead),
        "ends_at__gt": min(slot.starts_at for slot in ahead),
    }
    columns = "technician", "starts_at", "ends_at"
    agreed = Visit.objects.filter(state__in=states.AGREED, **ours).exclude(pk=visit.pk)
    holds = SlotHold.objects.live(now).filter(**ours).exclude(visit=visit)
    taken = set(agreed.order_by().values_list(*columns).union(holds.values_list(*columns)))
    return [slot for slot in ahead if not any(_clash(slot, *other) for other in taken)]


def _clash(slot: FreeSlot, technician: int, starts_at: dt.datetime, ends_at: dt.datetime) -> bool:
    return slot.technician == technician and slot.starts_at < ends_at and slot.ends_at > starts_at


def _slot(
    opening: planner.Opening,
    workdays: tuple[planner.Workday, ...],
    days: list[dt.date],
    visit: Visit,
    service_min: float,
) -> FreeSlot:
    workday = workdays[opening.workday]
    starts_at = moment_at(days[workday.day], opening.start_min, visit.season.branch.zone)
    return FreeSlot(
        technician=int(workday.technician),
        starts_at=starts_at,
        ends_at=starts_at + dt.timedelta(minutes=service_min),
        warmth=opening.warmth,
        travel_added_min=opening.travel_added_min,
    )


def taken_slots(
    visit: Visit,
    reader: SeasonReader,
    workdays: tuple[planner.Workday, ...],
    now: dt.datetime,
    states_taken: tuple[str, ...],
) -> dict[int, list[planner.TakenSlot]]:
    """What stands on each workday, by its index, in order; two queries."""
    zone, first = reader.branch.zone, reader.days[0]
    known = index_of(workdays)
    ours = {
        "technician__branch": reader.branch,
        "starts_at__gte": moment_at(first, 0, zone),
        "starts_at__lt": moment_at(reader.days[-1] + dt.timedelta(days=1), 0, zone),
    }
    booked = Visit.objects.filter(state__in=states_taken, **ours).exclude(pk=visit.pk)
    holds = SlotHold.objects.live(now).filter(**ours).exclude(visit=visit)
    rows = [
        *booked.values_list("technician", "starts_at", "ends_at", *_place_of("")),
        *holds.values_list("technician", "starts_at", "ends_at", *_place_of("visit__")),
    ]
    taken: dict[int, list[planner.TakenSlot]] = defaultdict(list)
    for technician, starts_at, ends_at, latitude, longitude, precision in rows:
        day = (starts_at.astimezone(zone).date() - first).days
        index = known.get((technician, day))
        if index is not None and latitude is not None:
            begins = minute_of_day(starts_at, zone)
            ends = begins + (ends_at - starts_at).total_seconds() / 60
            place = reader.places.at(latitude, longitude, precision)
            taken[index].append(planner.TakenSlot(begins, ends, place))
    return {index: sorted(slots, key=lambda s: s.start_min) for index, slots in taken.items()}


def _place_of(prefix: str) -> tuple[str, str, str]:
    home = f"{prefix}owed_visit__agreement__home__"
    return f"{home}latitude", f"{home}longitude", f"{home}precision"
