"""The only bridge between rows and the planner: Problem out, Plan back.

Days are counted from `Snapshot.first_day`, minutes on the branch's wall clock.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from agreements.models import VisitKind
from customers.models import Home, Precision, SystemKind
from customers.places import Place
from kit.when import NOON_MIN, WeekHalves, days_between, minute_of_day, utc_offset_h
from scheduling import planner, states
from scheduling.models import Season, Skill, Technician, Visit
from scheduling.roads import travel_table
from shop.models import Branch
from weather.models import BranchClimate
from weather.warmth import warmth_table

DAY_MIN = 24 * 60
LUNCH_EARLIEST_MIN, LUNCH_LATEST_MIN = 11 * 60, 13 * 60 + 30
# Weighted minutes (scheduling.planner.Prices): what leaving a visit out costs,
# and what moving a pencilled one costs, of which the customer knows nothing yet.
UNPLACED_MIN = 600.0
MOVE_PENCILLED_MIN = 5.0


class SeasonCannotBePlanned(ValueError):
    """What is missing before a plan can be made, in words for the office."""


@dataclass(frozen=True)
class Snapshot:
    """A planner problem with the row ids that it was made from."""

    season: Season
    first_day: dt.date
    problem: planner.Problem
    versions: dict[str, int]

    @cached_property
    def visit_index(self) -> dict[int, int]:
        return {int(visit.key): index for index, visit in enumerate(self.problem.visits)}

    @cached_property
    def workday_index(self) -> dict[tuple[int, int], int]:
        return {(int(w.technician), w.day): index for index, w in enumerate(self.problem.workdays)}

    def day_of(self, index: int) -> dt.date:
        return self.first_day + dt.timedelta(days=index)


def take_snapshot(season: Season, today: dt.date) -> Snapshot:
    """The season as one problem: every open visit on every technician-day after `today`."""
    branch = season.branch
    first_day = max(season.starts_on, today + dt.timedelta(days=1))
    days = days_between(first_day, season.ends_on)
    if not days:
        raise SeasonCannotBePlanned(f"{season} ended on {season.ends_on:%B %-d, %Y}.")
    rows = list(_open_visits(season))
    technicians = list(
        Technician.objects.of(branch)
        .active()
        .select_related("branch")
        .prefetch_related("shifts", "days_off")
    )
    places = _Places()
    kept = _kept_slots(rows, branch, first_day)
    workdays = _workdays(technicians, days, branch, places, kept)
    known = {(int(w.technician), w.day): index for index, w in enumerate(workdays)}
    thresholds = _Thresholds(branch)
    halves = _Halves(days)
    visits = [
        _visit(row, branch, places, thresholds, halves, first_day, known, kept.get(row.pk))
        for row in rows
    ]
    problem = planner.Problem(
        days=len(days),
        travel_min=travel_table(places.listed),
        workdays=tuple(workdays),
        visits=tuple(visits),
        warmth=_warmth(branch, days, thresholds.listed),
        least_warmth=branch.least_warmth,
        prices=planner.Prices(),
    )
    return Snapshot(season, first_day, problem, {str(row.pk): row.version for row in rows})


def _open_visits(season: Season):
    """What may be placed or is agreed, with all that the problem needs, in three queries."""
    return (
        Visit.objects.for_season(season)
        .filter(state__in=(*states.OPEN, *states.AGREED, states.MISSED))
        .exclude(owed_visit__agreement__home__latitude=None)
        .select_related("owed_visit__agreement__home")
        .prefetch_related("owed_visit__agreement__systems")
        .order_by("pk")
    )


class _Places:
    """Numbers the places of the problem. Homes at one exact point share a number; homes known
    by their ZIP alone do not, for they are some streets apart."""

    def __init__(self) -> None:
        self.listed: list[Place] = []
        self._exact: dict[tuple[float, float], int] = {}

    def exact(self, latitude: float, longitude: float) -> int:
        key = (latitude, longitude)
        if key not in self._exact:
            self._exact[key] = self._add(latitude, longitude, "exact")
        return self._exact[key]

    def of(self, home: Home) -> int:
        latitude, longitude = home.point
        if home.precision == Precision.EXACT:
            return self.exact(latitude, longitude)
        return self._add(latitude, longitude, "zip")

    def _add(self, latitude: float, longitude: float, precision: Literal["exact", "zip"]) -> int:
        self.listed.append(Place(latitude, longitude, precision))
        return len(self.listed) - 1


class _Thresholds:
    """Numbers the test temperatures: one warmth table each."""

    def __init__(self, branch: Branch) -> None:
        self.branch = branch
        self.listed: list[int] = [branch.test_temperature_f]

    def number(self, systems: list) -> int:
        own = [s.least_test_f for s in systems if s.cools and s.least_test_f]
        warmest = max([self.branch.test_temperature_f, *own])
        if warmest not in self.listed:
            self.listed.append(warmest)
        return self.listed.index(warmest)


class _Halves:
    """Windows for a home's half days. Few patterns occur, so each is made once and shared."""

    def __init__(self, days: list[dt.date]) -> None:
        self.days = days
        self._made: dict[tuple[int, int], tuple[planner.Window, ...]] = {}

    def windows(self, halves: WeekHalves, from_day: int) -> tuple[planner.Window, ...]:
        key = (halves.mask, from_day)
        if key not in self._made:
            self._made[key] = tuple(self._make(halves, from_day))
        return self._made[key]

    def _make(self, halves: WeekHalves, from_day: int):
        for number, day in enumerate(self.days[from_day:], start=from_day):
            early, late = (day.weekday(), 0) in halves, (day.weekday(), 1) in halves
            if early or late:
                first = 0 if early else NOON_MIN
                yield planner.Window(number, first, DAY_MIN if late else NOON_MIN - 1)


def _kept_slots(rows: list[Visit], branch: Branch, first_day: dt.date) -> dict[int, tuple]:
    """Row id -> (technician, day, start minute) of visits that stand in the planned days."""
    kept = {}
    for row in rows:
        if row.starts_at and row.state in (states.PENCILLED, *states.AGREED):
            local = row.starts_at.astimezone(branch.zone)
            day = (local.date() - first_day).days
            if day >= 0:
                kept[row.pk] = (row.technician_id, day, minute_of_day(row.starts_at, branch.zone))
    return kept


def _workdays(technicians, days, branch, places, kept) -> list[planner.Workday]:
    shifts = {
        (shift.technician_id, shift.weekday): shift
        for technician in technicians
        for shift in technician.shifts.all()
    }
    off = defaultdict(list)
    for technician in technicians:
        for absence in technician.days_off.all():
            off[technician.pk].append((absence.first, absence.last))
    agreed_days = {(technician, day) for technician, day, _ in kept.values()}
    made = []
    for technician in technicians:
        place = places.exact(*technician.start_place)
        for number, day in enumerate(days):
            shift = shifts.get((technician.pk, day.weekday()))
            away = any(first <= day <= last for first, last in off[technician.pk])
            works = shift and branch.works_on(day.weekday()) and not away
            if works or (technician.pk, number) in agreed_days:
                made.append(_workday(technician, number, day, shift, branch, place))
    return made


def _workday(technician, number, day, shift, branch, place) -> planner.Workday:
    """`shift` None: a promise stands on a day off, which only keeps what is there."""
    starts, ends = (
        (shift.starts_at, shift.ends_at) if shift else (branch.opens_at, branch.closes_at)
    )
    lunch_min = shift.lunch_min if shift else 0
    return planner.Workday(
        key=f"{technician} on {day:%B %-d}",
        technician=str(technician.pk),
        day=number,
        start_min=starts.hour * 60 + starts.minute,
        end_min=ends.hour * 60 + ends.minute,
        lunch=planner.Lunch(LUNCH_EARLIEST_MIN, LUNCH_LATEST_MIN, lunch_min) if lunch_min else None,
        start_place=place,
        end_place=place,
        skills=frozenset(technician.skills),
    )


def _visit(row, branch, places, thresholds, halves, first_day, known, kept) -> planner.Visit:
    owed, home = row.owed_visit, row.owed_visit.agreement.home
    systems = list(owed.agreement.systems.all())
    from_day = max((owed.due_from - first_day).days, 0)
    slot = None
    if kept and (kept[0], kept[1]) in known:
        slot = planner.KeptSlot(known[kept[0], kept[1]], kept[2])
    return planner.Visit(
        key=str(row.pk),
        place=places.of(home),
        service_min=minutes_of(branch, owed.kind, systems),
        windows=halves.windows(home.halves, from_day),
        skills=frozenset(skills_of(owed.kind, systems)),
        warmth_class=thresholds.number(systems) if owed.needs_warmth else None,
        due_from_day=from_day,
        due_day=(owed.due_until - first_day).days,
        unplaced_min=UNPLACED_MIN,
        kept=slot,
        move_min=MOVE_PENCILLED_MIN if slot else 0.0,
        fixed=slot is not None and row.state in states.AGREED,
    )


def minutes_of(branch: Branch, kind: str, systems: list) -> int:
    """How long the work takes: the branch's time for the kind, and for each further system."""
    first = {
        VisitKind.COOLING: branch.cooling_check_min,
        VisitKind.HEATING: branch.heating_check_min,
        VisitKind.BOTH: branch.cooling_check_min + branch.further_system_min,
    }[VisitKind(kind)]
    counted = [s for s in systems if s.cools] if kind != VisitKind.HEATING else systems
    return first + branch.further_system_min * max(len(counted) - 1, 0)


def skills_of(kind: str, systems: list) -> set[str]:
    """What a technician must be able to do for a visit."""
    needed = {
        VisitKind.COOLING: {Skill.COOLING},
        VisitKind.HEATING: {Skill.HEATING},
        VisitKind.BOTH: {Skill.COOLING, Skill.HEATING},
    }[VisitKind(kind)]
    if any(system.kind == SystemKind.HEAT_PUMP for system in systems):
        needed = needed | {Skill.HEAT_PUMP}
    return {str(skill) for skill in needed}


def _warmth(branch: Branch, days: list[dt.date], thresholds: list[int]) -> np.ndarray:
    row = BranchClimate.objects.filter(branch=branch).first()
    if row is None:
        raise SeasonCannotBePlanned(
            f"{branch} has no climate yet. Load one with manage.py import_climate, "
            "or ask whoever looks after this installation."
        )
    climate = row.climate()
    offsets = [utc_offset_h(day, branch.zone) for day in days]
    tables = [
        warmth_table(climate, days, float(threshold), clock_offset_h=offsets)
        for threshold in thresholds
    ]
    return np.stack(tables)
