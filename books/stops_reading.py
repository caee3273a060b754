"""A season's trips as the stops of technicians' days: minutes at the home, and of the day's drive.

Minutes come from the phone's buttons. Without them the time at the home is the slot's, and a drive
is worked out from where the homes lie, as the planner does it; the way back always is, for no
phone says it. Read as columns of whole numbers: a season has ten thousand trips.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
from django.db.models import F, QuerySet
from django.db.models.expressions import CombinedExpression

from books.numbers.trips import every
from books.worth.drives import drives_min, firsts, shared_min
from customers.models import Precision
from customers.places import ZIP_SPREAD_KM
from fieldwork.models import Record
from kit.web.seconds import Seconds
from scheduling.figures import season_figures
from scheduling.models import Season, Technician, Trip
from shop.models import Branch

# A trip longer than this was ended late, not driven or worked so long (own choice, no source).
MOST_THERE_MIN, MOST_DRIVE_MIN = 6 * 60, 3 * 60
DAY_S, HOUR_S, MINUTE_S = 86400, 3600, 60
MANY_DAYS = 100_000  # since 1970: until the year 2243

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
HOME = "visit__owed_visit__agreement__home"
COLUMNS = (
    "pk", "visit_id", "technician_id", Seconds("starts_at"), Seconds("ended_at"), "outcome",
    f"{HOME}__latitude", f"{HOME}__longitude", f"{HOME}__precision",
)  # fmt: skip


@dataclass(frozen=True)
class Stops:
    """All [stops], in driving order of each technician's day.

    `day`: days since 1970 on the branch's wall clock; `drive_min`: its part of the day's drive;
    `told_min`: the drive to it by the phone, NaN not told; `timed`: the phone says when the
    technician came and left; `unplaced`: nobody knows where the home lies; `more`: the further
    columns that were asked for.
    """

    trip: list[int]
    visit: list[int]
    day: list[int]
    outcome: list[str]
    there_min: Ints
    drive_min: Ints
    told_min: Floats
    timed: npt.NDArray[np.bool_]
    unplaced: npt.NDArray[np.bool_]
    more: list[tuple[Any, ...]]


def stops_of(season: Season, *more: Any) -> Stops:
    """Every trip of the season in three queries, and one more where a home has no place."""
    return _stops(season, every(season), Record.objects.filter(visit__season=season), more)


def stops_beside(season: Season, trips: QuerySet[Trip]) -> Stops:
    """Only the days on which one of these trips was made, whole: theirs is a part of its drive."""
    made = list(trips.order_by().values_list("technician_id", Seconds("starts_at")))
    day_of = _day_of(season.branch)
    # A day on the branch's clock touches two days of UTC.
    days = {who * MANY_DAYS + start_s // DAY_S + n for who, start_s in made for n in (-1, 0, 1)}
    local = {who * MANY_DAYS + day_of(start_s) for who, start_s in made}
    # Most rows are of other seasons, and comparing a moment is quicker than a key.
    first = min(start_s // DAY_S for _, start_s in made) - 1
    after = max(start_s // DAY_S for _, start_s in made) + 2
    near = every(season).filter(starts_at__gte=_midnight(first), starts_at__lt=_midnight(after))
    records = Record.objects.filter(visit__season=season)
    records = records.filter(day__gte=_midnight(first).date(), day__lt=_midnight(after).date())
    return _stops(
        season,
        near.annotate(key=_key("starts_at")).filter(key__in=days),
        records.annotate(key=_key("day")).filter(key__in=local),
        (),
    )


def _midnight(day: int) -> dt.datetime:
    """Of UTC, so many days after 1970 began."""
    return dt.datetime.fromtimestamp(day * DAY_S, dt.UTC)


def _key(moment: str) -> CombinedExpression:
    """A technician's day in UTC as one number."""
    return F("technician_id") * MANY_DAYS + Seconds(moment) / DAY_S


def _stops(
    season: Season, trips: QuerySet[Trip], records: QuerySet[Record], more: tuple[Any, ...]
) -> Stops:
    rows = trips.order_by("technician_id", "starts_at", "pk")
    found = list(rows.values_list(*COLUMNS, *more))
    if not found:
        nothing = np.zeros(0, np.int64)
        no = nothing.astype(np.bool_)
        return Stops([], [], [], [], nothing, nothing, np.zeros(0), no, no, [])
    columns = list(zip(*found, strict=True))
    trip, visit, technician, starts_s, ended_s, outcome, north, east, precision = columns[:9]
    day_of = _day_of(season.branch)
    day = [day_of(second) for second in starts_s]
    phones = _phones(records)
    stamps = [phones.get(key, (None, None, None)) for key in zip(visit, day, strict=True)]
    way_s, arrived_s, left_s = np.array(stamps, np.float64).T
    told_min = _between(way_s, arrived_s, MOST_DRIVE_MIN)
    by_phone = _between(arrived_s, left_s, MOST_THERE_MIN)
    slot = _between(np.array(starts_s, float), np.array(ended_s, float), MOST_THERE_MIN)
    slot = np.where(np.isnan(slot), season.branch.cooling_check_min, slot)
    there = np.where(np.isnan(by_phone), slot, by_phone)
    places = np.array([north, east], np.float64).T
    spread = np.where(np.array(precision) == Precision.ZIP, ZIP_SPREAD_KM, 0.0)
    days = np.array(technician, np.int64) * MANY_DAYS + np.array(day, np.int64)
    drive = _drives(season, technician, days, places, spread, told_min)
    return Stops(
        trip=list(trip), visit=list(visit), day=day, outcome=list(outcome),
        there_min=there.astype(np.int64), drive_min=drive, told_min=told_min,
        timed=~np.isnan(by_phone), unplaced=np.isnan(places[:, 0]),
        more=[row[len(COLUMNS) :] for row in found],
    )  # fmt: skip


def _drives(
    season: Season,
    technician: tuple[int, ...],
    day: Ints,
    places: Floats,
    spread_km: Floats,
    told_min: Floats,
) -> Ints:
    """Each stop's part of its day's drive. `told_min`: by phone, the drive to it; NaN: not told."""
    branch = season.branch
    begins = start_places(branch)
    starts = np.array([begins[pk] for pk in technician], np.float64)
    first = firsts(day)
    from_places = np.where(first[:, np.newaxis], starts, np.roll(places, 1, axis=0))
    near_km = np.where(first, spread_km, np.maximum(spread_km, np.roll(spread_km, 1)))
    to_min = drives_min(from_places, places, near_km, branch.slower)
    back_min = drives_min(places, starts, spread_km, branch.slower)
    if np.isnan(to_min).any():
        average = season_figures(season).travel_a_visit_min or 0.0
        to_min = np.where(np.isnan(to_min), average, to_min)
    to_min = np.where(np.isnan(told_min), to_min, told_min)
    return shared_min(day, to_min, np.nan_to_num(back_min))


def start_places(branch: Branch) -> dict[int, tuple[float, float]]:
    """By technician: where the days begin and end, degrees north and east."""
    technicians = Technician.objects.filter(branch=branch).select_related("branch")
    return {one.pk: one.start_place for one in technicians}


def _phones(records: QuerySet[Record]) -> dict[tuple[int, int], tuple[int | None, ...]]:
    """On the way, arrived, left: by visit and day."""
    stamps = (Seconds("on_the_way_at"), Seconds("arrived_at"), Seconds("left_at"))
    found = records.order_by().values_list("visit_id", Seconds("day"), *stamps)
    return {(visit, day_s // DAY_S): tuple(times) for visit, day_s, *times in found}


def _between(first_s: Floats, last_s: Floats, most_min: int) -> Floats:
    """Whole minutes; NaN for a time that is missing or cannot be."""
    minutes = np.round((last_s - first_s) / MINUTE_S)
    with np.errstate(invalid="ignore"):
        sensible: Floats = np.where((minutes >= 0) & (minutes <= most_min), minutes, np.nan)
    return sensible


def _day_of(branch: Branch) -> Callable[[int], int]:
    """From a moment to the day on the branch's wall clock; clocks change at whole hours."""

    @cache
    def offset_s(hour: int) -> int:
        local = dt.datetime.fromtimestamp(hour * HOUR_S, branch.zone)
        shift = local.utcoffset()
        assert shift is not None
        return int(shift.total_seconds())

    return lambda second: (second + offset_s(second // HOUR_S)) // DAY_S
