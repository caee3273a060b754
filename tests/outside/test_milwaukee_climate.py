"""The carried climate against Milwaukee's own months.

NOAA GHCN-Daily, USW00014839, 1991-2020: monthly figures of all days, computed once from the
archive. A climate is a smooth curve, so a month's mean may lie half a degree off; and April is
skewed (a few hot days), which a normal distribution does not follow: it says 0.47 where 0.42
of the days reach 55 °F.
"""

import math
from datetime import date, timedelta
from statistics import NormalDist

import pytest

from weather.climate import daily_normal
from weather.demonstration import demonstration_climate

CLIMATE = demonstration_climate()


def normals_of(month):
    days = [date(2019, 1, 1) + timedelta(days=n) for n in range(365)]
    return [daily_normal(CLIMATE, day) for day in days if day.month == month]


def mean(values):
    values = list(values)
    return sum(values) / len(values)


@pytest.mark.parametrize(
    ("month", "tmax_f", "tmin_f"),
    [(3, 43.22, 28.22), (4, 53.86, 37.31), (5, 65.61, 47.31), (6, 75.88, 57.88)],
)
def test_the_months_are_as_warm_as_recorded(month, tmax_f, tmin_f):
    normals = normals_of(month)
    assert mean(n.tmax_mean_f for n in normals) == pytest.approx(tmax_f, abs=0.5)
    assert mean(n.tmin_mean_f for n in normals) == pytest.approx(tmin_f, abs=0.5)


@pytest.mark.parametrize(("month", "sd_f"), [(3, 11.90), (4, 11.55), (5, 11.43), (6, 9.52)])
def test_the_months_spread_as_recorded(month, sd_f):
    normals = normals_of(month)
    middle = mean(n.tmax_mean_f for n in normals)
    drift = mean((n.tmax_mean_f - middle) ** 2 for n in normals)
    spread = math.sqrt(mean(n.tmax_sd_f**2 for n in normals) + drift)
    assert spread == pytest.approx(sd_f, abs=0.45)


@pytest.mark.parametrize(("month", "share", "off"), [(4, 0.416, 0.06), (5, 0.808, 0.02)])
def test_as_many_days_reach_55_as_recorded(month, share, off):
    said = mean(1 - NormalDist(n.tmax_mean_f, n.tmax_sd_f).cdf(55.0) for n in normals_of(month))
    assert said == pytest.approx(share, abs=off)


def test_maximum_and_minimum_go_together_as_in_the_months():
    assert 0.69 <= CLIMATE.correlation <= 0.86  # the twelve months' own correlations


def test_it_is_labelled_as_a_demonstration():
    assert CLIMATE.demonstration
    assert (CLIMATE.station, CLIMATE.period) == ("USW00014839", "1991-2020")
