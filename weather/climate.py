"""The climate of a place: what its days are like, in 28 numbers and a correlation.

The mean and the spread of the daily maximum and minimum each follow the year as a
constant and three harmonics. On Milwaukee (fitted on 1991-2010, tested on March to June
2011-2025) the Brier score of "the maximum reaches 55 °F" is 0.1432, 0.1427, 0.1421 and
0.1419 with one to four harmonics: three are enough.

Temperatures are °F. A day's maximum and minimum are taken as normally distributed.
"""

from __future__ import annotations

import math
from calendar import isleap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date, timedelta
from typing import Any, Self

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Harmonics = tuple[float, ...]  # a0, a1, b1, a2, b2, a3, b3: cosine a, sine b

HARMONICS = 3
FURTHEST_LATITUDE = 65.0  # beyond it some days have no sunrise, which the day's curve needs
WHOLE_YEAR = np.arange(1.0, 366.0)
CURVES = ("tmax_mean_f", "tmax_sd_f", "tmin_mean_f", "tmin_sd_f")


class ClimateRefused(ValueError):
    """A climate that cannot be used. The message is a sentence for the person who sent it."""


@dataclass(frozen=True)
class DailyRecord:
    """One observed day, °F. None means that the station has no value."""

    day: date
    tmax_f: float | None
    tmin_f: float | None


@dataclass(frozen=True)
class Climate:
    """What the days at one station are like. `utc_offset_h` is standard time, west negative."""

    tmax_mean_f: Harmonics
    tmax_sd_f: Harmonics
    tmin_mean_f: Harmonics
    tmin_sd_f: Harmonics
    correlation: float  # of a day's maximum and minimum, each about its own normal
    latitude: float
    longitude: float
    utc_offset_h: float
    place: str
    station: str
    source: str
    period: str
    demonstration: bool = False

    def __post_init__(self) -> None:
        check_site(self.latitude, self.longitude, self.utc_offset_h)
        for name in CURVES:
            _check_curve(name, getattr(self, name))
        if not -1.0 <= self.correlation <= 1.0:
            raise ClimateRefused(f"correlation is {self.correlation}; it must lie in -1 to 1.")
        _check_year(self)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, ready for JSON; `from_dict` is the way back."""
        return {key: list(v) if isinstance(v, tuple) else v for key, v in asdict(self).items()}

    @classmethod
    def from_dict(cls, values: Mapping[str, Any]) -> Self:
        """The climate kept in `values`. Raises ClimateRefused naming wrong keys."""
        known = {field.name for field in fields(cls)}
        _refuse_keys("lacks", known - values.keys() - {"demonstration"})
        _refuse_keys("has the unknown", values.keys() - known)
        plain = dict(values)
        for name in CURVES:
            plain[name] = tuple(float(value) for value in plain[name])
        return cls(**plain)


@dataclass(frozen=True)
class DailyNormal:
    """What one day of the year is like, °F."""

    tmax_mean_f: float
    tmax_sd_f: float
    tmin_mean_f: float
    tmin_sd_f: float
    correlation: float


def year_day(day: date) -> float:
    """Day of a 365-day year, from 1. 29 February is 59.5, so that March begins alike every year."""
    number = day.timetuple().tm_yday
    if number < 60 or not isleap(day.year):
        return float(number)
    return 59.5 if number == 60 else float(number - 1)


def daily_normal(climate: Climate, day: date) -> DailyNormal:
    """The normal of one day."""
    curves = daily_normals(climate, [day])
    tmax_mean, tmax_sd, tmin_mean, tmin_sd = (float(curve[0]) for curve in curves)
    return DailyNormal(tmax_mean, tmax_sd, tmin_mean, tmin_sd, climate.correlation)


def daily_normals(climate: Climate, days: Sequence[date]) -> tuple[FloatArray, ...]:
    """Mean and SD of the maximum, mean and SD of the minimum; each of shape [len(days)], °F."""
    return _curves(climate, np.array([year_day(day) for day in days]))


def check_site(latitude: float, longitude: float, utc_offset_h: float) -> None:
    """Raise ClimateRefused when a place cannot lie there, or its clock does not belong to it."""
    if not abs(latitude) <= FURTHEST_LATITUDE:
        raise ClimateRefused(
            f"latitude is {latitude}; it must lie in -{FURTHEST_LATITUDE:g} to "
            f"{FURTHEST_LATITUDE:g}, where the sun rises every day."
        )
    if not abs(longitude) <= 180.0:
        raise ClimateRefused(f"longitude is {longitude}; it must lie in -180 to 180.")
    if not abs(utc_offset_h - longitude / 15.0) <= 3.0:
        raise ClimateRefused(
            f"longitude {longitude:g} and UTC offset {utc_offset_h:g} h do not belong together; "
            f"the sun says about {longitude / 15.0:.0f} h. West of Greenwich both are negative."
        )


def harmonic_basis(year_days: FloatArray) -> FloatArray:
    """The columns that a curve's coefficients multiply, shape [len(year_days), 7]."""
    angle = 2.0 * np.pi * year_days / 365.0
    columns = [np.ones_like(angle)]
    for k in range(1, HARMONICS + 1):
        columns += [np.cos(k * angle), np.sin(k * angle)]
    return np.column_stack(columns)


def _curves(climate: Climate, year_days: FloatArray) -> tuple[FloatArray, ...]:
    basis = harmonic_basis(year_days)
    return tuple(basis @ np.array(getattr(climate, name)) for name in CURVES)


def _check_curve(name: str, curve: Harmonics) -> None:
    wanted = 2 * HARMONICS + 1
    if len(curve) != wanted or not all(math.isfinite(value) for value in curve):
        raise ClimateRefused(f"{name} must be {wanted} numbers; it is {list(curve)}.")


def _check_year(climate: Climate) -> None:
    tmax_mean, tmax_sd, tmin_mean, tmin_sd = _curves(climate, WHOLE_YEAR)
    for words, bad in (
        ("the spread of the maximum is not positive", tmax_sd <= 0.0),
        ("the spread of the minimum is not positive", tmin_sd <= 0.0),
        ("the mean maximum is below the mean minimum", tmax_mean < tmin_mean),
    ):
        if bad.any():
            day = date(2001, 1, 1) + timedelta(days=int(bad.argmax()))
            raise ClimateRefused(f"On {day:%d %B} {words}.")


def _refuse_keys(words: str, keys: Iterable[str]) -> None:
    named = ", ".join(sorted(keys))
    if named:
        raise ClimateRefused(f"This climate {words} {named}.")
