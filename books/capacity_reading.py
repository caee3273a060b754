"""A season's capacity from its rows: shifts, warmth, what is owed, real springs of the branch."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from django.db.models import Count, Max, Min, Q

from books.capacity.fit import CERTAINTIES, Fit, warm_minutes
from books.capacity.springs import FloatArray, drawn_springs, real_spring
from customers.models import System, SystemKind
from kit.when import days_between, moment_at, utc_offset_h
from scheduling.figures import season_figures
from scheduling.models import Season, Skill, State, Visit
from scheduling.planner import Workday
from scheduling.reading import SeasonReader, minutes_of
from weather.models import ObservedHour
from weather.outlook import Outlook

# Driving a visit while no plan was applied: common practice, no source.
ASSUMED_TRAVEL_MIN = 15.0
MOST_REAL_SPRINGS = 6
LEAST_KNOWN = 0.95  # of a real spring's hours, to be looked at
NOON_BIN, BIN_MIN = 24, 30
OPEN = (State.OWED, State.HELD, State.PENCILLED, State.OFFERED, State.PROMISED, State.MISSED)


@dataclass(frozen=True)
class RealSpring:
    """Visits that fitted by each day's end into the hours that a real spring had."""

    year: int
    visits: list[float]


@dataclass(frozen=True)
class SeasonCapacity:
    """`travel_known`: the drive a visit is that of a plan, not assumed."""

    season: Season
    days: list[dt.date]
    fit: Fit
    travel_min: float
    travel_known: bool
    outlook: Outlook
    real: list[RealSpring]

    @cached_property
    def curves(self) -> list[tuple[float, list[float]]]:
        """Certainty, and visits that fit by each day's end."""
        return [
            (certainty, (self.fit.by_day(certainty) / self.fit.visit_min).tolist())
            for certainty in CERTAINTIES
        ]


def capacity_of(season: Season, now: dt.datetime) -> SeasonCapacity | None:
    """From tomorrow, or from the season's first day. None: the season is over.

    Raises SeasonCannotBePlanned when the branch has no climate.
    """
    today = now.astimezone(season.branch.zone).date()
    first = max(season.starts_on, today + dt.timedelta(days=1))
    days = days_between(first, season.ends_on)
    if not days:
        return None
    reader = SeasonReader(season.branch, days, now)
    workdays = reader.workdays()
    working = working_minutes(workdays, len(days))
    owed, service_min = _owed(season)
    travel = season_figures(season).travel_a_visit_min
    visit_min = service_min + (ASSUMED_TRAVEL_MIN if travel is None else travel)
    warm = drawn_springs(_warmth(season, days, reader.outlook))
    technicians = _technicians(workdays)
    fit = Fit(warm_minutes(warm, working), owed, visit_min, technicians)
    return SeasonCapacity(
        season=season,
        days=list(days),
        fit=fit,
        travel_min=visit_min - service_min,
        travel_known=travel is not None,
        outlook=reader.outlook,
        real=_real_springs(season, days, working, visit_min),
    )


def working_minutes(workdays: Sequence[Workday], days: int) -> FloatArray:
    """Technician-minutes in each half hour of each day, lunch taken at noon: [days, 48]."""
    found = np.zeros((days, 48))
    starts = np.arange(48) * BIN_MIN
    alike = Counter(
        (day.day, day.start_min, day.end_min, day.lunch.minutes if day.lunch else 0)
        for day in workdays
        if Skill.COOLING in day.skills
    )
    for (day, start_min, end_min, lunch_min), technicians in alike.items():
        worked = np.clip(end_min - starts, 0, BIN_MIN) - np.clip(start_min - starts, 0, BIN_MIN)
        lunch = min(lunch_min, float(worked[NOON_BIN : NOON_BIN + 2].sum()))
        in_first = min(lunch, float(worked[NOON_BIN]))
        worked = worked.astype(np.float64)
        worked[NOON_BIN] -= in_first
        worked[NOON_BIN + 1] -= lunch - in_first
        found[day] += worked * technicians
    return found


def _technicians(workdays: Sequence[Workday]) -> float:
    return float(len({day.technician for day in workdays if Skill.COOLING in day.skills}))


def _warmth(season: Season, days: Sequence[dt.date], outlook: Outlook) -> FloatArray:
    offsets = [utc_offset_h(day, season.branch.zone) for day in days]
    threshold_f = float(season.branch.test_temperature_f)
    return outlook.table(days, threshold_f, clock_offset_h=offsets)


def _owed(season: Season) -> tuple[int, float]:
    """Open visits that need warmth, and how many minutes one takes on average."""
    cooling = Count(
        "owed_visit__agreement__systems",
        filter=Q(owed_visit__agreement__systems__kind__in=SystemKind.cooling()),
    )
    rows = Visit.objects.for_season(season).filter(state__in=OPEN).needing_warmth().order_by()
    counted = Counter(
        (_kind(kind, test_only), systems)
        for kind, test_only, systems in rows.annotate(systems=cooling).values_list(
            "owed_visit__kind", "test_only", "systems"
        )
    )
    visits = counted.total()
    if not visits:
        return 0, float(season.branch.cooling_check_min)
    minutes = sum(
        count * minutes_of(season.branch, kind, [_COOLS] * max(systems, 1))
        for (kind, systems), count in counted.items()
    )
    return visits, minutes / visits


_COOLS = System(kind=SystemKind.AIR_CONDITIONER)


def _kind(kind: str, test_only: bool) -> str:
    return "test_only" if test_only else kind


def _real_springs(
    season: Season, days: Sequence[dt.date], working: FloatArray, visit_min: float
) -> list[RealSpring]:
    """The same days of earlier years, where a thermometer near the branch was kept."""
    observed = ObservedHour.objects.of(season.branch)
    span = observed.aggregate(first=Min("at"), last=Max("at"))
    if span["first"] is None:
        return []
    found: list[RealSpring] = []
    for year in range(days[0].year - 1, span["first"].year - 1, -1):
        if len(found) == MOST_REAL_SPRINGS:
            break
        hours_f = _hours_of(season, [_in_year(day, year) for day in days])
        shifts = working.sum(axis=1) > 0
        if np.isnan(hours_f[shifts]).mean() > 1.0 - LEAST_KNOWN:
            continue
        warm = real_spring(hours_f, season.branch.test_temperature_f)
        minutes = warm_minutes(warm[np.newaxis], working)[0]
        found.append(RealSpring(year, (np.cumsum(minutes) / visit_min).tolist()))
    return found


def _in_year(day: dt.date, year: int) -> dt.date:
    """29 February of another year is the 28th."""
    return (
        day.replace(year=year, day=28)
        if (day.month, day.day) == (2, 29)
        else day.replace(year=year)
    )


def _hours_of(season: Season, days: Sequence[dt.date]) -> FloatArray:
    """°F of each hour on the branch's clock: [days, 24]; NaN where none is kept."""
    zone = season.branch.zone
    first, last = moment_at(days[0], 0, zone), moment_at(days[-1] + dt.timedelta(days=1), 0, zone)
    hours_f = np.full((len(days), 24), np.nan)
    rows = ObservedHour.objects.of(season.branch).between(first, last).order_by()
    for at, value_f in rows.values_list("at", "temperature_f"):
        local = at.astimezone(zone)
        day = (local.date() - days[0]).days
        if 0 <= day < len(days):
            hours_f[day, local.hour] = value_f
    return hours_f
