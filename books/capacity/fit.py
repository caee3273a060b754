"""Warm technician-hours against what is owed: how much fits, since when, with one more. Pure.

Minutes throughout. A certainty of 0.95 means: in 95 of 100 springs there is at least so much.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from books.capacity.springs import BoolArray, FloatArray

CERTAINTIES = (0.5, 0.8, 0.95)


def warm_minutes(warm: BoolArray, working_min: FloatArray) -> FloatArray:
    """Technician-minutes of each day in which a test can begin: [springs, days].

    `warm`: [springs, days, 48]; `working_min`: technician-minutes in each half hour, [days, 48].
    """
    found: FloatArray = np.einsum("sdh,dh->sd", warm, working_min)
    return found


@dataclass(frozen=True, eq=False)
class Fit:
    """`minutes`: [springs, days] of warm work. `owed`: visits that need warmth, and one's minutes
    with its drive. `technicians`: how many the minutes are of."""

    minutes: FloatArray
    owed: int
    visit_min: float
    technicians: float

    def __post_init__(self) -> None:
        if self.visit_min <= 0:
            raise ValueError(f"A visit takes some minutes, not {self.visit_min:g}.")

    @cached_property
    def so_far(self) -> FloatArray:
        """Minutes from the first day to each day's end: [springs, days]."""
        summed: FloatArray = np.cumsum(self.minutes, axis=1)
        return summed

    @property
    def owed_min(self) -> float:
        return self.owed * self.visit_min

    def by_day(self, certainty: float) -> FloatArray:
        """Minutes that there are at least by each day's end, with this certainty."""
        found: FloatArray = np.quantile(self.so_far, 1.0 - certainty, axis=0)
        return found

    def total_min(self, certainty: float) -> float:
        days = self.by_day(certainty)
        return float(days[-1]) if len(days) else 0.0

    def fits(self, certainty: float) -> int:
        """Visits that fit into the season's warm hours."""
        return int(self.total_min(certainty) // self.visit_min)

    def more(self, certainty: float) -> int:
        """Visits that fit beyond those owed; below 0: so many too many are owed."""
        return self.fits(certainty) - self.owed

    def cleared_by(self, certainty: float) -> int | None:
        """The day (from 0) at whose end what is owed has fitted. None: it does not fit."""
        days = np.flatnonzero(self.by_day(certainty) >= self.owed_min)
        return int(days[0]) if len(days) else None

    def start_by(self, certainty: float) -> int | None:
        """The last day (from 0) on which to begin and still clear what is owed. None: none."""
        if not self.owed:
            return int(self.minutes.shape[1]) - 1
        left = self.so_far[:, -1:] - self.so_far + self.minutes
        enough = np.quantile(left, 1.0 - certainty, axis=0) >= self.owed_min
        days = np.flatnonzero(enough)
        return int(days[-1]) if len(days) else None

    def chance(self) -> float:
        """In what share of the springs all that is owed fits."""
        if not self.minutes.shape[1]:
            return 0.0 if self.owed else 1.0
        return float((self.so_far[:, -1] >= self.owed_min).mean())

    def with_more(self, technicians: float) -> Fit:
        """The same with so many more technicians who work as the others do on average."""
        if not self.technicians:
            return self
        share = (self.technicians + technicians) / self.technicians
        return Fit(self.minutes * share, self.owed, self.visit_min, self.technicians + technicians)
