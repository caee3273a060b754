"""Made-up but realistic seasons for the benchmarks: the same seed gives the same season.

A metropolitan area of 40 x 40 km with 25 suburbs, customers' half-days, 15 % work for a senior
technician, and a spring that warms by 0.3 degrees a day. The days of a season are its working days,
Monday to Friday. All values are choices of this project.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from scheduling.planner import Prices, Problem, Visit, Window, Workday

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


@dataclass(frozen=True)
class Season:
    """A problem, and what an office that plans by hand looks at: areas and last year's dates."""

    problem: Problem
    zip_area: npt.NDArray[np.int64]
    last_year: npt.NDArray[np.float64]


def season(visits: int, technicians: int, days: int, seed: int) -> Season:
    """A made-up season."""
    chance = np.random.default_rng(seed)
    homes = _homes(chance, visits)
    points = np.vstack([homes, chance.uniform(10, 30, (technicians, 2))])
    problem = Problem(
        days=days,
        travel_min=_travel(points),
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


def _warmth(days: int) -> npt.NDArray[np.float64]:
    """[1, days, 48]: a logistic curve with the standard deviation SD_F around the expected hour."""
    hours = np.arange(48) / 2 + 0.25
    weeks, weekdays = np.divmod(np.arange(days), WORKDAYS_A_WEEK)
    mean = FIRST_MEAN_F + WARMING_F * (7 * weeks + weekdays)[:, None]
    expected = mean + np.interp(hours, SLOT_HOURS, SLOT_SHIFTS_F)
    scale = SD_F * np.sqrt(3) / np.pi
    return (1 / (1 + np.exp((TEST_F - expected) / scale)))[None]
