"""The season as data: what there is to place, where it may go, and what everything is worth.

One `Problem` holds the whole season at once. Days are counted from 0, minutes from local midnight,
and every price is in minutes, so that a wasted trip, a late day and a drive can be added up.
Nothing in this package reads a clock, a database or a setting.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt

from .travel import Travel

HALF_HOURS = 48
"""Start times a day in the warmth table: bin b covers starts in [30 b, 30 b + 30) minutes."""
BIN_MIN = 30.0


class ProblemRefused(ValueError):
    """The problem contradicts itself; `reasons` says where, one sentence each."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__("\n".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of one day in which the customer lets the work START (both ends included)."""

    day: int
    earliest_start_min: float
    latest_start_min: float


@dataclass(frozen=True, slots=True)
class KeptSlot:
    """The slot a visit already has and would rather keep."""

    workday: int
    start_min: float


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit that may be placed.

    `windows`: None means that any time will do. `warmth_class`: row of `Problem.warmth`; None for
    work that needs no warmth. `due_from_day`: no day before it. `due_day`: each day after it costs
    `Prices.late_day_min`; None is never late. `unplaced_min`: price of leaving the visit out.
    `kept`: a slot that may be kept although it is colder than the limit or outside `windows`;
    leaving it costs `move_min`. `fixed`: the kept slot may not be left at all. `load`: what it
    takes up in the truck. `wished_technician`: who came last year; `area`: for `area_days`.
    """

    key: int | str
    place: int
    service_min: float
    windows: tuple[Window, ...] | None = None
    skills: frozenset[str] = frozenset()
    warmth_class: int | None = None
    due_from_day: int = 0
    due_day: int | None = None
    unplaced_min: float = 600.0
    kept: KeptSlot | None = None
    move_min: float = 0.0
    fixed: bool = False
    load: float = 0.0
    wished_technician: int | str | None = None
    area: int | str | None = None


@dataclass(frozen=True, slots=True)
class Lunch:
    """A break that starts between two times, after a visit or before the first drive."""

    earliest_min: float
    latest_min: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Workday:
    """One technician on one day: leaves `start_place` from `start_min` on, is back by `end_min`.

    The technician may leave later than `start_min`; waiting costs nothing. A lunch is owed on a day
    that is not over by the lunch's latest start. None: no lunch. `overtime_max_min`: how much later
    than `end_min` the technician may be home, at `Prices.overtime_min`. `room`: what the truck
    holds of all `Visit.load` of the day; None is no limit.
    """

    key: int | str
    technician: int | str
    day: int
    start_min: float
    end_min: float
    start_place: int
    end_place: int
    lunch: Lunch | None = None
    skills: frozenset[str] = frozenset()
    overtime_max_min: float = 0.0
    room: float | None = None


@dataclass(frozen=True, slots=True)
class Prices:
    """What things are worth in minutes of travel (choices of this project, no source).

    `cold_trip_min`: a trip to a system that is too cold to test, times its probability: the drive,
    the hour lost and the second visit. `late_day_min`: one day past the due day.
    `kept_within_min`: a kept visit on its day counts as moved when its start shifts by more; who
    drives does not move it.
    Wishes, free of charge unless they are given a price: `overtime_min`: a minute after the shift,
    counted in started quarters of an hour. `other_technician_min`: a visit not by the technician
    wished for. `off_area_day_min`: a visit on none of its area's days. `after_heat_min`: a cooling
    check later than `Problem.heat_day` or left out. `uneven_min`: a minute between the technicians
    with the longest and the shortest mean workday (driving and working).
    """

    cold_trip_min: float = 120.0
    late_day_min: float = 2.0
    kept_within_min: float = 30.0
    overtime_min: float = 0.0
    other_technician_min: float = 0.0
    off_area_day_min: float = 0.0
    after_heat_min: float = 0.0
    uneven_min: float = 0.0


@dataclass(frozen=True, slots=True)
class Slot:
    """A visit on a workday (both by index) from `start_min`, the start of the work."""

    visit: int
    workday: int
    start_min: float


@dataclass(frozen=True, slots=True)
class Plan:
    """One entry a visit, in the problem's order; None where the visit is left out."""

    slots: tuple[Slot | None, ...]

    def by_workday(self) -> dict[int, list[Slot]]:
        """The slots of each worked day, in the order of driving."""
        days: dict[int, list[Slot]] = {}
        for slot in self.slots:
            if slot is not None:
                days.setdefault(slot.workday, []).append(slot)
        for slots in days.values():
            slots.sort(key=lambda slot: slot.start_min)
        return days


@dataclass(frozen=True, eq=False)
class Problem:
    """Everything the planner knows.

    `travel_min`: float32 [places, places], minutes from row to column; for more than a few thousand
    places rather a `Travel`, which works each drive out from where the places lie. `warmth`:
    [classes, days, 48], probability that a test begun in that half hour is warm enough to its end.
    `least_warmth`: no start below it is offered to a visit with a warmth class. `area_days`: the
    days on which each area is wished to be served. `heat_day`: the last day before the heat.
    `together`: pairs of visits (by index) for two technicians at one home: both start at the same
    time on different workdays of a day, or neither is placed.
    """

    days: int
    travel_min: npt.NDArray[np.float32] | Travel
    workdays: tuple[Workday, ...]
    visits: tuple[Visit, ...]
    warmth: npt.NDArray[np.floating] = field(default_factory=lambda: np.ones((0, 1, HALF_HOURS)))
    least_warmth: float = 0.0
    prices: Prices = Prices()
    area_days: Mapping[int | str, frozenset[int]] = field(default_factory=dict)
    heat_day: int | None = None
    together: tuple[tuple[int, int], ...] = ()

    def check(self) -> None:
        """Raise `ProblemRefused` naming every contradiction, or return quietly."""
        from .refusal import reasons_to_refuse

        reasons = list(reasons_to_refuse(self))
        if reasons:
            raise ProblemRefused(reasons)

    def drive_min(self, place: int, other: int) -> float:
        if isinstance(self.travel_min, Travel):
            return self.travel_min.minutes(place, other)
        return float(self.travel_min[place, other])

    def drives_from(self, place: int) -> npt.NDArray[np.floating]:
        """Minutes to every place [places]; to the last digit only for a table."""
        if isinstance(self.travel_min, Travel):
            return self.travel_min.table_of(place)
        drives: npt.NDArray[np.float32] = self.travel_min[place]
        return drives

    @property
    def places(self) -> int:
        """How many there are; they are numbered from 0."""
        travel = self.travel_min
        return travel.places if isinstance(travel, Travel) else len(travel)

    @cached_property
    def workdays_by_day(self) -> dict[int, list[int]]:
        """Indices of the workdays of each day that has any."""
        found: dict[int, list[int]] = {}
        for index, workday in enumerate(self.workdays):
            found.setdefault(workday.day, []).append(index)
        return found

    def windows_on(self, visit: Visit, day: int) -> Iterator[tuple[float, float]]:
        """The stretches of `day` in which the customer lets the work start."""
        if visit.windows is None:
            yield 0.0, float("inf")
            return
        for window in visit.windows:
            if window.day == day:
                yield window.earliest_start_min, window.latest_start_min
