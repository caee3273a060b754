"""What the climate says of a slot, learnt without the spring that is judged by it.

Mean and spread of a slot's coldest reading follow the year as harmonics (see `weather.climate`).
In turn: the file's other years; for a single spring the rest of its own year (July to February,
one harmonic), which has not seen the spring; or a climate from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from weather.backtest.reading import Readings
from weather.backtest.slots import READINGS_A_SLOT, STARTS_H, coldest_of_slots
from weather.blending import FloatArray
from weather.climate import Climate, harmonic_basis, year_day
from weather.warmth import P10_SD, hourly_band

SPRING_MONTHS = (3, 4, 5, 6)
LEAST_SPRING_DAYS = 100  # of other years, to learn a spring from: nearly one whole spring
LEAST_DAYS_BESIDE = 150  # of the own year outside the spring
LEAST_MONTHS_FOR_THREE = 11
LEAST_VARIANCE_F2 = 9.0


@dataclass(frozen=True)
class SlotNormals:
    """Mean and SD of each slot's coldest reading, [days, starts] °F, and where they come from."""

    mean_f: FloatArray
    sd_f: FloatArray
    words: str


SlotClimate = Callable[[Readings, int, Sequence[date]], SlotNormals]


def learnt_from_the_file(readings: Readings, year: int, days: Sequence[date]) -> SlotNormals:
    """The climate of a spring from the rest of its file. ValueError when that is too little."""
    known = readings.days()
    elsewhere = [day for day in known if day.year != year]
    if sum(day.month in SPRING_MONTHS for day in elsewhere) >= LEAST_SPRING_DAYS:
        learnt, words = elsewhere, "the other years of the file"
    else:
        learnt = [day for day in known if day.year == year and day.month not in SPRING_MONTHS]
        words = "July to February of its own year, one harmonic"
        if len(learnt) < LEAST_DAYS_BESIDE:
            raise ValueError(
                "there is nothing in the file to learn its climate from (no other spring, and only "
                f"{len(learnt)} days of the year outside March to June); name a climate."
            )
    months = {day.month for day in learnt}
    harmonics = 3 if len(months) >= LEAST_MONTHS_FOR_THREE else 1
    coldest_f = coldest_of_slots(readings.table(learnt))
    mean_f, sd_f = _fit(learnt, coldest_f, days, harmonics)
    return SlotNormals(mean_f, sd_f, words)


def from_climate(climate: Climate, threshold_f: float) -> SlotClimate:
    """The climate of a station: each slot as its hour that is least likely warm enough."""

    def normals(_: Readings, __: int, days: Sequence[date]) -> SlotNormals:
        mean_f = np.empty((len(days), len(STARTS_H)))
        sd_f = np.empty_like(mean_f)
        for row, day in enumerate(days):
            band = hourly_band(climate, day, clock_offset_h=climate.utc_offset_h)
            hour_f = np.array(band.p50_f)
            hour_sd_f = (np.array(band.p90_f) - hour_f) / P10_SD
            short_by_sd = (threshold_f - hour_f) / hour_sd_f
            for column, start in enumerate(STARTS_H):
                hour = start + int(np.argmax(short_by_sd[start : start + READINGS_A_SLOT]))
                mean_f[row, column], sd_f[row, column] = hour_f[hour], hour_sd_f[hour]
        return SlotNormals(mean_f, sd_f, f"{climate.place}, {climate.period}")

    return normals


def _fit(
    learnt: Sequence[date], coldest_f: FloatArray, days: Sequence[date], harmonics: int
) -> tuple[FloatArray, FloatArray]:
    whole = ~np.isnan(coldest_f).any(axis=1)
    basis, wanted = _basis(learnt, harmonics)[whole], _basis(days, harmonics)
    seen_f = coldest_f[whole]
    curve = np.linalg.lstsq(basis, seen_f, rcond=None)[0]
    spread = np.linalg.lstsq(basis, (seen_f - basis @ curve) ** 2, rcond=None)[0]
    return wanted @ curve, np.sqrt(np.maximum(wanted @ spread, LEAST_VARIANCE_F2))


def _basis(days: Sequence[date], harmonics: int) -> FloatArray:
    year_days = np.array([year_day(day) for day in days])
    return harmonic_basis(year_days)[:, : 2 * harmonics + 1]
