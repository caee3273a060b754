"""Springfield, Illinois, hour by hour: eemeter 4.1.1, samples/il-tempF.csv.gz (USAF 724390).

The counts were taken once from that file. They hold the reader of the series to it, on which
the checks of the day's curve and of warmth stand.
"""

from datetime import date
from statistics import mean

import pytest

from tests.outside.series import (
    april,
    coldest_in_slot,
    first_day_of,
    spring,
    springfield_hours,
    warm_slots,
)

HOURS = springfield_hours()


def test_the_series_is_whole():
    assert len(HOURS) == 19_417


@pytest.mark.parametrize(
    ("year", "least_f", "slots"),
    [
        (2016, 55, {8: 45, 10: 56, 13: 59, 15: 60}),
        (2016, 60, {8: 39, 10: 45, 13: 52, 15: 49}),
        (2017, 55, {8: 44, 10: 49, 13: 57, 15: 55}),
        (2017, 60, {8: 38, 10: 43, 13: 46, 15: 45}),
    ],
)
def test_so_many_of_77_weekday_slots_are_testable(year, least_f, slots):
    assert warm_slots(HOURS, year, least_f) == slots


@pytest.mark.parametrize(
    ("year", "warm_hours", "mean_f", "first_hot"),
    [(2016, 358, 55.99, date(2016, 5, 22)), (2017, 454, 59.54, date(2017, 5, 9))],
)
def test_april_and_the_first_day_of_85(year, warm_hours, mean_f, first_hot):
    hours = april(HOURS, year)
    assert len(hours) == 720
    assert sum(value >= 55 for value in hours) == warm_hours
    assert mean(hours) == pytest.approx(mean_f, abs=0.005)
    assert first_day_of(HOURS, year, 85) == first_hot


@pytest.mark.parametrize("first", [date(2016, 3, 7), date(2017, 3, 6)])
def test_the_first_early_afternoon_is_warm_in_the_first_week_of_march(first):
    weekdays = [day for day in spring(first.year) if day.weekday() < 5]
    assert next(day for day in weekdays if coldest_in_slot(HOURS, day, 13) >= 55) == first
