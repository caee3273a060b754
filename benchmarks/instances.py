"""Made-up but realistic seasons for the benchmarks: the same seed gives the same season.

A metropolitan area of 40 x 40 km with 25 suburbs (three homes in four lie in one of them, 1.5 km
around its middle, the others anywhere), customers' half-days, 15 % work for a senior technician,
and a spring that warms by 0.3 degrees a day. The days of a season are its working days, Monday to
Friday. Drives are straight lines x 1.3 at 40 km/h and 2 minutes to park. All values are choices of
this project. `SIZES`: the seasons that `bin/bench sizes` plans.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from scheduling.planner import (
    KeptSlot,
    Plan,
    Prices,
    Problem,
    Roads,
    Travel,
    Visit,
    Window,
    Workday,
)

SIDE_KM, SUBURBS, IN_SUBURBS = 40.0, 25, 0.75
DETOUR, SPEED_KMH, PARKING_MIN = 1.3, 40.0, 2.0
SHIFT_START_MIN, SHIFT_END_MIN = 480.0, 990.0
NOON_MIN = 720.0
COOLING, SENIOR, LIMITED, OFF = 0.70, 0.15, 0.45, 0.03
TEST_F, FIRST_MEAN_F, WARMING_F, SD_F = 55.0, 54.0, 0.3, 8.0
# Middle of the start slot, and how far the hours after it lie above the mean of the day.
SLOT_HOURS, SLOT_SHIFTS_F = (9.0, 11.0, 13.0, 15.0), (-4.0, 2.0, 7.0, 9.0)
LEAST_WARMTH, UNPLACED_MIN = 0.6, 600.0
ZIP_KM = 5.0
WORKDAYS_A_WEEK = 5
ROADS = Roads(near=DETOUR, far=DETOUR, min_per_km=60 / SPEED_KMH, stop_min=PARKING_MIN)


@dataclass(frozen=True)
class Season:
    """A problem, and what an office that plans by hand looks at: areas and last year's dates."""

    problem: Problem
    zip_area: npt.NDArray[np.int64]
    last_year: npt.NDArray[np.float64]


@dataclass(frozen=True)
class Size:
    """A season of the benchmark `sizes`. `branches`: that many seasons of their own, each with its
    share of visits and technicians, planned one after the other."""

    visits: int
    technicians: int
    days: int
    seconds: float
    branches: int = 1

    def seasons(self, seed: int) -> list[Season]:
        share = self.visits // self.branches, self.technicians // self.branches
        seeds = [seed + 100 * branch for branch in range(self.branches)]
        return [big_season(*share, self.days, each) for each in seeds]


SIZES = {
    "500": Size(500, 3, 30, seconds=10),
    "2000": Size(2000, 8, 45, seconds=60),
    "10000_branches": Size(10_000, 30, 45, seconds=300, branches=5),
    "10000": Size(10_000, 30, 45, seconds=300),
}
COLD_SNAP_F, SNAP_DAYS, PROMISED_DAYS = 12.0, (6, 7, 8), 10
"""The re-planned season of 2,000: how much colder than expected which days turn out, and how many
working days ahead every visit is already promised."""
MOVE_MIN = 30.0
"""Price of moving a promise: a quarter of a wasted trip."""


def big_season(visits: int, technicians: int, days: int, seed: int) -> Season:
    """A made-up season with drives from points and without a least warmth: prices alone decide."""
    made = season(visits, technicians, days, seed, compact=True)
    return replace(made, problem=replace(made.problem, least_warmth=0.0))


def after_cold_snap(problem: Problem, found: Plan, move_min: float = MOVE_MIN) -> Problem:
    """The same season when a cold snap is forecast: what stands in the first ten days is promised
    and moves at a price, what stands later is pencilled and moves freely."""
    snap = dict.fromkeys(SNAP_DAYS, COLD_SNAP_F)
    visits = []
    for visit, slot in zip(problem.visits, found.slots, strict=True):
        if slot is not None and problem.workdays[slot.workday].day < PROMISED_DAYS:
            kept = KeptSlot(slot.workday, slot.start_min)
            visit = replace(visit, kept=kept, move_min=move_min)
        visits.append(visit)
    return replace(problem, visits=tuple(visits), warmth=_warmth(problem.days, snap))


def season(visits: int, technicians: int, days: int, seed: int, *, compact: bool = False) -> Season:
    """A made-up season. `compact`: drives from points instead of a table of all pairs."""
    chance = np.random.default_rng(seed)
    homes = _homes(chance, visits)
    points = np.vstack([homes, chance.uniform(10, 30, (technicians, 2))])
    problem = Problem(
        days=days,
        travel_min=_points(points) if compact else _travel(points),
        workdays=tuple(_workdays(chance, technicians, days, visits)),
        visits=tuple(_visit(chance, index, days) for index in range(visits)),
        warmth=_warmth(days),
        least_warmth=LEAST_WARMTH,
        prices=Prices(),
    )
    squares = (homes // ZIP_KM).astype(int)
    rows = int(SIDE_KM // ZIP_KM)
    return Season(problem, squares[:, 0] * rows + squares[:, 1], chance.uniform(0, days, visits))


def _homes(chance: np.random.Generator, count: int) -> npt.NDArray[np.float64]:
    centres = chance.uniform(0, SIDE_KM, (SUBURBS, 2))
    homes = centres[chance.integers(SUBURBS, size=count)] + chance.normal(0, 1.5, (count, 2))
    anywhere = chance.random(count) >= IN_SUBURBS
    homes[anywhere] = chance.uniform(0, SIDE_KM, (int(anywhere.sum()), 2))
    return np.clip(homes, 0, SIDE_KM - 1e-6)


def _points(points: npt.NDArray[np.float64]) -> Travel:
    return Travel(np.column_stack([points, np.zeros(len(points))]), ROADS)


def _travel(points: npt.NDArray[np.float64]) -> npt.NDArray[np.float32]:
    km = np.linalg.norm(points[:, None] - points[None, :], axis=2) * DETOUR
    travel = km / SPEED_KMH * 60 + PARKING_MIN
    np.fill_diagonal(travel, 0)
    return travel.astype(np.float32)


def _workdays(chance, technicians, days, visits):
    """The first third of the technicians, and at least one, are senior."""
    seniors = max(1, technicians // 3)
    for technician in range(technicians):
        for day in range(days):
            if chance.random() < OFF:
                continue
            yield Workday(
                key=f"{technician}/{day}",
                technician=technician,
                day=day,
                start_min=SHIFT_START_MIN,
                end_min=SHIFT_END_MIN,
                start_place=visits + technician,
                end_place=visits + technician,
                skills=frozenset({"senior"} if technician < seniors else ()),
            )


def _visit(chance, index, days):
    return Visit(
        key=index,
        place=index,
        service_min=float(chance.choice([60, 75, 90, 120], p=[0.7, 0.18, 0.09, 0.03])),
        windows=_windows(chance, days) if chance.random() < LIMITED else None,
        skills=frozenset({"senior"} if chance.random() < SENIOR else ()),
        warmth_class=0 if chance.random() < COOLING else None,
        due_day=int(chance.integers(days * 2 // 3, days)),
        unplaced_min=UNPLACED_MIN,
    )


def _windows(chance, days):
    """Some weekdays, mornings only, afternoons only, or both."""
    weekdays = chance.choice(WORKDAYS_A_WEEK, size=chance.integers(2, 5), replace=False)
    first, last = ((0.0, NOON_MIN - 1), (NOON_MIN, 1440.0), (0.0, 1440.0))[chance.integers(3)]
    return tuple(
        Window(day, first, last) for day in range(days) if day % WORKDAYS_A_WEEK in weekdays
    )


def _warmth(days: int, colder_f: Mapping[int, float] | None = None) -> npt.NDArray[np.float64]:
    """[1, days, 48]: a logistic curve with the standard deviation SD_F around the expected hour.

    `colder_f`: by how much some days stay below what is usual.
    """
    hours = np.arange(48) / 2 + 0.25
    weeks, weekdays = np.divmod(np.arange(days), WORKDAYS_A_WEEK)
    mean = FIRST_MEAN_F + WARMING_F * (7 * weeks + weekdays)[:, None]
    for day, less_f in (colder_f or {}).items():
        mean[day] -= less_f
    expected = mean + np.interp(hours, SLOT_HOURS, SLOT_SHIFTS_F)
    scale = SD_F * np.sqrt(3) / np.pi
    return (1 / (1 + np.exp((TEST_F - expected) / scale)))[None]
