"""Temperature through the day from a daily minimum and maximum: three published forms.

Redbud uses Parton & Logan; the sine and Linvill stand beside it because the choice was
measured, and the measurement is kept as a test (tests/outside/test_day_curve.py).

Hours are local STANDARD time, 0 to 24. Everything broadcasts: hours, extremes and daylight
may be numbers or arrays whose shapes fit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Values = FloatArray | float

# Parton, W. J. & Logan, J. A. (1981): A model for diurnal variation in soil and air
# temperature. Agricultural Meteorology 23, 205-216; air at 1.5 m (values from memory).
PEAK_LAG_A_H = 1.86  # the maximum comes this long after noon
NIGHT_DECAY_B = 2.20  # how fast the night cools
TROUGH_LAG_C_H = -0.17  # the minimum comes this long after sunrise

SINE_PEAK_H = 14.0  # de Wit 1978, with the maximum at 14 h
SUNRISE_ZENITH_DEG = 90.833  # the sun's upper edge, through the air's refraction (NOAA)


@dataclass(frozen=True)
class Daylight:
    """Sunrise in hours of local standard time, and hours from sunrise to sunset."""

    sunrise_h: Values
    length_h: Values

    @property
    def sunset_h(self) -> Values:
        return self.sunrise_h + self.length_h


@dataclass(frozen=True)
class Extremes:
    """A day's minimum and maximum, and those of its neighbours that the nights lean on, °F."""

    min_before_f: Values
    max_before_f: Values
    min_f: Values
    max_f: Values
    min_after_f: Values


# A day from 0 to 1 among days like it: its curve is the WEIGHT of the maximum at each hour.
UNIT_DAY = Extremes(0.0, 1.0, 0.0, 1.0, 0.0)


def daylight(latitude: float, longitude: float, utc_offset_h: float, year_day: Values) -> Daylight:
    """Sunrise and day length on a day of the year (1 to 365), for latitudes within 65 degrees.

    Declination and equation of time: Spencer, J. W. (1971), Search 2, 172, as printed in
    NOAA's General Solar Position Calculations.
    """
    g = 2.0 * np.pi / 365.0 * (np.asarray(year_day, dtype=np.float64) - 1.0)
    declination = (
        0.006918
        - 0.399912 * np.cos(g)
        + 0.070257 * np.sin(g)
        - 0.006758 * np.cos(2 * g)
        + 0.000907 * np.sin(2 * g)
        - 0.002697 * np.cos(3 * g)
        + 0.00148 * np.sin(3 * g)
    )
    sundial_ahead_min = 229.18 * (
        0.000075
        + 0.001868 * np.cos(g)
        - 0.032077 * np.sin(g)
        - 0.014615 * np.cos(2 * g)
        - 0.040849 * np.sin(2 * g)
    )
    phi, zenith = np.radians(latitude), np.radians(SUNRISE_ZENITH_DEG)
    cos_half_day = (np.cos(zenith) - np.sin(phi) * np.sin(declination)) / (
        np.cos(phi) * np.cos(declination)
    )
    half_day_h = np.degrees(np.arccos(cos_half_day)) / 15.0
    noon_h = 12.0 - (longitude - 15.0 * utc_offset_h) / 15.0 - sundial_ahead_min / 60.0
    return Daylight(noon_h - half_day_h, 2.0 * half_day_h)


def parton_logan(hour: Values, day: Extremes, light: Daylight) -> FloatArray:
    """A sine by day, an exponential fall towards the next minimum by night, °F."""
    trough_h = light.sunrise_h + TROUGH_LAG_C_H
    night_h = 24.0 - light.length_h + TROUGH_LAG_C_H

    def rise(since_trough_h: Values) -> Values:
        return np.sin(np.pi * since_trough_h / (light.length_h + 2.0 * PEAK_LAG_A_H))

    def fall(since_sunset_h: Values) -> Values:
        return np.exp(-NIGHT_DECAY_B * since_sunset_h / night_h)

    at_sunset = rise(light.length_h - TROUGH_LAG_C_H)
    dusk_before = _between(day.min_before_f, day.max_before_f, at_sunset)
    dusk = _between(day.min_f, day.max_f, at_sunset)
    since_sunset = hour - light.sunset_h
    return _parts_of_day(
        hour,
        (trough_h, light.sunset_h),
        morning=_between(day.min_f, dusk_before, fall(since_sunset + 24.0)),
        daytime=_between(day.min_f, day.max_f, rise(hour - trough_h)),
        evening=_between(day.min_after_f, dusk, fall(since_sunset)),
    )


def de_wit(hour: Values, day: Extremes, light: Daylight) -> FloatArray:
    """Half cosines from the minimum at sunrise to the maximum at 14 h and on, °F.

    de Wit, C. T. (1978): Simulation of assimilation, respiration and transpiration of crops.
    """
    climb_h = SINE_PEAK_H - light.sunrise_h

    def fall(since_peak_h: Values) -> Values:
        return (1.0 + np.cos(np.pi * since_peak_h / (24.0 - climb_h))) / 2.0

    since_peak = hour - SINE_PEAK_H
    return _parts_of_day(
        hour,
        (light.sunrise_h, SINE_PEAK_H),
        morning=_between(day.min_f, day.max_before_f, fall(since_peak + 24.0)),
        daytime=_between(day.min_f, day.max_f, (1.0 + np.cos(np.pi * since_peak / climb_h)) / 2.0),
        evening=_between(day.min_after_f, day.max_f, fall(since_peak)),
    )


def linvill(hour: Values, day: Extremes, light: Daylight) -> FloatArray:
    """A sine by day, a logarithmic fall by night, °F.

    Linvill, D. E. (1990): Calculating chilling hours and chill units from daily maximum and
    minimum temperature observations. HortScience 25, 14-16.
    """

    def rise(since_sunrise_h: Values) -> Values:
        return np.sin(np.pi * since_sunrise_h / (light.length_h + 4.0))

    def left(since_sunset_h: Values) -> Values:  # of the way down to the next minimum
        return 1.0 - np.log(np.maximum(since_sunset_h, 1.0)) / np.log(24.0 - light.length_h)

    at_sunset = rise(light.length_h)
    dusk_before = _between(day.min_before_f, day.max_before_f, at_sunset)
    dusk = _between(day.min_f, day.max_f, at_sunset)
    since_sunset = hour - light.sunset_h
    return _parts_of_day(
        hour,
        (light.sunrise_h, light.sunset_h),
        morning=_between(day.min_f, dusk_before, left(since_sunset + 24.0)),
        daytime=_between(day.min_f, day.max_f, rise(hour - light.sunrise_h)),
        evening=_between(day.min_after_f, dusk, left(since_sunset)),
    )


def _between(low: Values, high: Values, weight: Values) -> Values:
    return low + (high - low) * weight


def _parts_of_day(
    hour: Values,
    bounds: tuple[Values, Values],
    *,
    morning: Values,
    daytime: Values,
    evening: Values,
) -> FloatArray:
    begins, ends = bounds
    return np.where(hour < begins, morning, np.where(hour <= ends, daytime, evening))
