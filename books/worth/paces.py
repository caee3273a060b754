"""How long drives took against what the map makes one expect, by distance and by place. Pure.

A drive's share is its minutes without parking over the minutes expected of it; of many drives the
middle one counts, because one technician who stopped for lunch is no slow road.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from customers.places import PARKING_MIN

Floats = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

KM_A_MILE = 1.609344  # exact: the international mile, NIST Handbook 44, appendix C
MILES = (0.0, 2.0, 4.0, 8.0, 16.0, np.inf)
STEP_MIN = 5.0
LEAST_FOR_A_ROW, LEAST_TO_ADVISE = 5, 20
"""Drives: fewer say nothing about a place, or about a branch (own choice)."""


@dataclass(frozen=True, eq=False)
class TimedDrives:
    """All [drives]. `expected_min`: by the map, without parking; `took_min`: by the phone, with it;
    `straight_km` between the two places; `area`: the ZIP driven to."""

    expected_min: Floats
    took_min: Floats
    straight_km: Floats
    area: Sequence[str]

    def __len__(self) -> int:
        return len(self.took_min)

    @property
    def shares(self) -> Floats:
        """Of each drive; 1 is as expected."""
        found: Floats = np.maximum(self.took_min - PARKING_MIN, 0.0) / self.expected_min
        return found


@dataclass(frozen=True, slots=True)
class Pace:
    """Some drives. Minutes are of the middle drive, with parking; `percent` of the middle share,
    `low` and `high` of the shares that a quarter lies below and above."""

    name: str
    drives: int
    expected_min: int
    took_min: int
    percent: int
    low: int
    high: int

    @property
    def says_enough(self) -> bool:
        return self.drives >= LEAST_TO_ADVISE


def pace_of(drives: TimedDrives, name: str = "All drives") -> Pace | None:
    """None: there are none."""
    return _pace(drives, name, np.ones(len(drives), np.bool_), 1)


def by_distance(drives: TimedDrives) -> list[Pace]:
    """In miles of the straight line: a town's short ways and the country's long ones."""
    miles = drives.straight_km / KM_A_MILE
    found = []
    for least, most in pairwise(MILES):
        name = f"{least:g} to {most:g} miles" if most < np.inf else f"over {least:g} miles"
        found.append(_pace(drives, name, (miles >= least) & (miles < most)))
    return [pace for pace in found if pace]


def by_area(drives: TimedDrives, most: int) -> list[Pace]:
    """The ZIP areas to which most drives went."""
    areas = np.array(drives.area, object)
    found = [_pace(drives, name, areas == name) for name in sorted(set(drives.area))]
    paces = [pace for pace in found if pace]
    return sorted(paces, key=lambda pace: (-pace.drives, pace.name))[:most]


def by_minutes(drives: TimedDrives) -> list[tuple[float, Pace]]:
    """By steps of five expected minutes, each with its middle: what a picture shows."""
    expected = drives.expected_min + PARKING_MIN
    step = np.floor(expected / STEP_MIN)
    found = []
    for number in sorted(set(step.tolist())):
        pace = _pace(
            drives, f"{number * STEP_MIN:g} to {(number + 1) * STEP_MIN:g} min", step == number
        )
        found += [((number + 0.5) * STEP_MIN, pace)] if pace else []
    return found


def _pace(drives: TimedDrives, name: str, which: Mask, least: int = LEAST_FOR_A_ROW) -> Pace | None:
    if which.sum() < max(least, 1):
        return None
    low, middle, high = np.percentile(drives.shares[which], (25, 50, 75))
    return Pace(
        name=name,
        drives=int(which.sum()),
        expected_min=round(float(np.median(drives.expected_min[which])) + PARKING_MIN),
        took_min=round(float(np.median(drives.took_min[which]))),
        percent=round(100 * float(middle)),
        low=round(100 * float(low)),
        high=round(100 * float(high)),
    )
