"""Springs cut from hourly readings: the slots of each working day, and what the climate says.

A spring runs from 1 March to 31 July or to the file's last reading, but at least to 15 June.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from weather.backtest.reading import Readings
from weather.backtest.slot_climate import SlotClimate
from weather.backtest.slots import coldest_of_slots
from weather.blending import FloatArray

FIRST, LEAST_LAST, LAST = (3, 1), (6, 15), (7, 31)
MOST_SLOTS_MISSING = 0.05
HEAT_F = 85.0


@dataclass(frozen=True)
class Spring:
    """One spring at one place; arrays have one row a calendar day, one column a start."""

    place: str
    year: int
    days: tuple[date, ...]
    coldest_f: FloatArray  # of each slot's readings; NaN where one is missing
    climate_mean_f: FloatArray
    climate_sd_f: FloatArray
    heat_day: int | None  # index of the first day with an hour of 85 °F; None: there is none
    climate_words: str  # where the climate comes from

    @property
    def name(self) -> str:
        return f"{self.place} {self.year}".strip()


@dataclass(frozen=True)
class Skipped:
    """A spring that cannot be used, and why."""

    year: int
    why: str


def cut_springs(
    readings: Readings, climate_of: SlotClimate, place: str = ""
) -> tuple[list[Spring], list[Skipped]]:
    """Every spring in the readings, and those that have too few hours."""
    springs, skipped = [], []
    for year in sorted({day.year for day in readings.days()}):
        try:
            springs.append(_spring(readings, climate_of, place, year))
        except ValueError as why:
            skipped.append(Skipped(year, str(why)))
    return springs, skipped


def _spring(readings: Readings, climate_of: SlotClimate, place: str, year: int) -> Spring:
    last_read = readings.last_day
    last = min(date(year, *LAST), last_read)
    if last < date(year, *LEAST_LAST):
        raise ValueError(f"the readings end on {last_read}; a spring needs them until 15 June.")
    days = _days(date(year, *FIRST), last)
    days_f = readings.table(days)
    coldest_f = coldest_of_slots(days_f)
    _check_gaps(days, coldest_f)
    climate = climate_of(readings, year, days)
    hot = np.flatnonzero(np.nanmax(np.nan_to_num(days_f, nan=-999.0), axis=1) >= HEAT_F)
    heat_day = int(hot[0]) if hot.size else None
    return Spring(
        place, year, tuple(days), coldest_f, climate.mean_f, climate.sd_f, heat_day, climate.words
    )


def _days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def _check_gaps(days: Sequence[date], coldest_f: FloatArray) -> None:
    working = np.array([day.weekday() < 5 for day in days])
    missing = float(np.isnan(coldest_f[working]).mean())
    if missing > MOST_SLOTS_MISSING:
        raise ValueError(
            f"{missing:.0%} of the slots lack a reading; at most {MOST_SLOTS_MISSING:.0%} may."
        )
