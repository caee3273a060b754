"""Rows read as pieces of a planner problem: places, working days, visits, warmth.

Days are counted from the reader's first day, minutes on the branch's wall clock.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import cached_property
from typing import Literal

import numpy as np
import numpy.typing as npt

from agreements.models import VisitKind
from customers.models import Home, Precision, System, SystemKind
from customers.places import Place
from kit.when import NOON_MIN, WeekHalves, utc_offset_h
from scheduling import planner, states
from scheduling.models import Shift, Skill, Technician, Visit
from scheduling.models.visit import TEST_ONLY
from shop.models import Branch
from weather.outlook import Outlook
from weather.outlook_rows import NoClimate, outlook_of

DAY_MIN = 24 * 60
LUNCH_EARLIEST_MIN, LUNCH_LATEST_MIN = 11 * 60, 13 * 60 + 30
# Weighted minutes (scheduling.planner.Prices): what leaving a visit out costs,
# and what moving a pencilled one costs, of which the customer knows nothing yet.
UNPLACED_MIN = 600.0
MOVE_PENCILLED_MIN = 5.0


class SeasonCannotBePlanned(ValueError):
    """What is missing before a plan can be made, in words for the office."""


class SeasonReader:
    """Reads the rows of one branch for consecutive `days`; numbers their places as they come.

    `now`: at which moment the weather is asked.
    """

    def __init__(self, branch: Branch, days: Sequence[dt.date], now: dt.datetime) -> None:
        self.branch, self.days, self.now = branch, days, now
        self.places = Places()
        self._thresholds_f: list[int] = [branch.test_temperature_f]
        self._windows: dict[tuple[int, int], tuple[planner.Window, ...]] = {}

    def workdays(self, also: Collection[tuple[int, int]] = ()) -> list[planner.Workday]:
        """The days on which technicians work; `also`: (technician, day) that hold a promise."""
        technicians = (
            Technician.objects.of(self.branch)
            .active()
            .select_related("branch")
            .prefetch_related("shifts", "days_off")
        )
        return [
            self._workday(technician, number, shift)
            for technician in technicians
            for number, day in enumerate(self.days)
            for shift in [_shift_on(technician, day)]
            if shift or (technician.pk, number) in also
        ]

    def _workday(self, technician: Technician, number: int, shift: Shift | None) -> planner.Workday:
        """`shift` None: a promise stands on a day off, which only keeps what is there."""
        hours = shift or Shift(
            starts_at=self.branch.opens_at, ends_at=self.branch.closes_at, lunch_min=0
        )
        place = self.places.exact(*technician.start_place)
        lunch = planner.Lunch(LUNCH_EARLIEST_MIN, LUNCH_LATEST_MIN, hours.lunch_min)
        return planner.Workday(
            key=f"{technician} on {self.days[number]:%B %-d}",
            technician=str(technician.pk),
            day=number,
            start_min=hours.starts_at.hour * 60 + hours.starts_at.minute,
            end_min=hours.ends_at.hour * 60 + hours.ends_at.minute,
            lunch=lunch if hours.lunch_min else None,
            start_place=place,
            end_place=place,
            skills=frozenset(technician.skills),
        )

    def visit(self, row: Visit, kept: planner.KeptSlot | None = None) -> planner.Visit:
        """An owed visit with all that decides where it may go; `kept`: the slot it has."""
        owed = row.owed_visit
        systems = list(owed.agreement.systems.all())
        from_day = max((owed.due_from - self.days[0]).days, 0)
        return planner.Visit(
            key=str(row.pk),
            place=self.places.of(owed.home),
            service_min=_minutes(self.branch, row, systems),
            windows=self._windows_of(owed.home.halves, from_day),
            skills=frozenset(skills_of(row.kind, systems)),
            warmth_class=self._warmth_class(systems) if owed.needs_warmth else None,
            due_from_day=from_day,
            due_day=(owed.due_until - self.days[0]).days,
            unplaced_min=UNPLACED_MIN,
            kept=kept,
            move_min=MOVE_PENCILLED_MIN if kept else 0.0,
            fixed=kept is not None and row.state in states.AGREED,
        )

    def _warmth_class(self, systems: Sequence[System]) -> int:
        """One class for each test temperature."""
        warmest = test_temperature_of(self.branch, systems)
        if warmest not in self._thresholds_f:
            self._thresholds_f.append(warmest)
        return self._thresholds_f.index(warmest)

    def _windows_of(self, halves: WeekHalves, from_day: int) -> tuple[planner.Window, ...]:
        """Few patterns of half days occur, so each is made once and shared."""
        key = (halves.mask, from_day)
        if key not in self._windows:
            self._windows[key] = tuple(self._make_windows(halves, from_day))
        return self._windows[key]

    def _make_windows(self, halves: WeekHalves, from_day: int) -> Iterator[planner.Window]:
        for number, day in enumerate(self.days[from_day:], start=from_day):
            early, late = (day.weekday(), 0) in halves, (day.weekday(), 1) in halves
            if early or late:
                first = 0 if early else NOON_MIN
                yield planner.Window(number, first, DAY_MIN if late else NOON_MIN - 1)

    def warmth(self) -> npt.NDArray[np.float64]:
        """[classes, days, 48] for the classes that the visits read so far need."""
        offsets = [utc_offset_h(day, self.branch.zone) for day in self.days]
        tables = [
            self.outlook.table(self.days, float(threshold_f), clock_offset_h=offsets)
            for threshold_f in self._thresholds_f
        ]
        return np.stack(tables)

    @cached_property
    def outlook(self) -> Outlook:
        """Climate and forecast as they are known now. Raises SeasonCannotBePlanned."""
        try:
            return outlook_of(self.branch, self.now)
        except NoClimate as trouble:
            raise SeasonCannotBePlanned(str(trouble)) from trouble


class Places:
    """Numbers places. Homes at one exact point share a number; homes known by their ZIP alone
    do not, for they are some streets apart."""

    def __init__(self) -> None:
        self.listed: list[Place] = []
        self._exact: dict[tuple[float, float], int] = {}

    def exact(self, latitude: float, longitude: float) -> int:
        key = (latitude, longitude)
        if key not in self._exact:
            self._exact[key] = self._add(latitude, longitude, "exact")
        return self._exact[key]

    def of(self, home: Home) -> int:
        return self.at(*home.point, home.precision)

    def at(self, latitude: float, longitude: float, precision: str) -> int:
        if precision == Precision.EXACT:
            return self.exact(latitude, longitude)
        return self._add(latitude, longitude, "zip")

    def _add(self, latitude: float, longitude: float, precision: Literal["exact", "zip"]) -> int:
        self.listed.append(Place(latitude, longitude, precision))
        return len(self.listed) - 1


def _shift_on(technician: Technician, day: dt.date) -> Shift | None:
    """The technician's hours on this day; None: closed, no shift, or off."""
    off = any(absence.first <= day <= absence.last for absence in technician.days_off.all())
    if off or not technician.branch.works_on(day.weekday()):
        return None
    return next((s for s in technician.shifts.all() if s.weekday == day.weekday()), None)


def test_temperature_of(branch: Branch, systems: Iterable[System]) -> int:
    """The branch's, or the maker's own of a system where that is higher."""
    own = [s.least_test_f for s in systems if s.cools and s.least_test_f]
    return max([branch.test_temperature_f, *own])


def _minutes(branch: Branch, row: Visit, systems: Sequence[System]) -> int:
    """A time that a customer was told of lasts as long as she was told."""
    if row.state in states.AGREED and row.starts_at and row.ends_at:
        return round((row.ends_at - row.starts_at).total_seconds() / 60)
    return minutes_of(branch, row.kind, systems)


def minutes_of_visit(visit: Visit) -> int:
    """How long a visit takes."""
    systems = list(visit.owed_visit.agreement.systems.all())
    return minutes_of(visit.season.branch, visit.kind, systems)


def minutes_of(branch: Branch, kind: str, systems: Sequence[System]) -> int:
    """How long the work takes: the branch's time for the kind, and for each further system.

    `kind` as `Visit.kind`.
    """
    first, further = {
        VisitKind.COOLING: (branch.cooling_check_min, branch.further_system_min),
        VisitKind.HEATING: (branch.heating_check_min, branch.further_system_min),
        VisitKind.BOTH: (
            branch.cooling_check_min + branch.further_system_min,
            branch.further_system_min,
        ),
        TEST_ONLY: (branch.test_only_min, branch.test_only_min),
    }[kind]
    counted = [s for s in systems if s.cools] if kind != VisitKind.HEATING else systems
    return first + further * max(len(counted) - 1, 0)


def skills_of(kind: str, systems: Sequence[System]) -> set[str]:
    """What a technician must be able to do for a visit. `kind` as `Visit.kind`."""
    needed = {
        VisitKind.COOLING: {Skill.COOLING},
        VisitKind.HEATING: {Skill.HEATING},
        VisitKind.BOTH: {Skill.COOLING, Skill.HEATING},
        TEST_ONLY: {Skill.COOLING},
    }[kind]
    if any(system.kind == SystemKind.HEAT_PUMP for system in systems):
        needed = needed | {Skill.HEAT_PUMP}
    return {str(skill) for skill in needed}
