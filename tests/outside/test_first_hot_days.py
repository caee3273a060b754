"""Is the winter cover off before the first hot day? 37 real springs.

aquacrop 3.1.0 carries data/champion_climate.txt: daily minima and maxima in °C, 1982 to 2018, of
Champion, Nebraska. The file is read, the package never imported. The climate is fitted on the same
years: 28 numbers from 13,514 days leave no room to learn single springs by heart.
"""

from datetime import date
from functools import cache

import pytest

from reminders.place import PlaceFacts, place_facts
from reminders.seasons import COVER_OFF_BEFORE_SEASON
from tests.outside.series import carried
from weather.climate import DailyRecord
from weather.fitting import fit_climate


@cache
def champion() -> list[DailyRecord]:
    lines = carried("aquacrop", "champion_climate.txt").read_text().splitlines()[1:]
    rows = (line.split() for line in lines)
    return [
        DailyRecord(date(int(year), int(month), int(day)), fahrenheit(high), fahrenheit(low))
        for day, month, year, low, high, *_ in rows
    ]


def fahrenheit(celsius: str) -> float:
    return float(celsius) * 9 / 5 + 32


@cache
def place() -> PlaceFacts:
    where = {"latitude": 40.4, "longitude": -101.7, "utc_offset_h": -7.0}
    names = {"place": "Champion, Nebraska", "station": "Champion", "source": "aquacrop 3.1.0"}
    return place_facts(fit_climate(champion(), **where, **names))


def springs_warned(edge: tuple[int, int], hot_f: float) -> int:
    """In how many springs the cover is off before the first day that reaches `hot_f`."""
    hot = [one.day for one in champion() if one.tmax_f >= hot_f]
    first_hot = [min(d for d in hot if d.year == year) for year in range(1982, 2019)]
    return sum(day > date(day.year, *edge) - COVER_OFF_BEFORE_SEASON for day in first_hot)


def test_the_series_is_the_one_that_was_measured():
    assert (champion()[0].day, champion()[-1].day) == (date(1982, 1, 1), date(2018, 12, 31))
    assert len(champion()) == 13514


@pytest.mark.parametrize(("hot_f", "springs"), [(80.0, 25), (85.0, 32)])
def test_a_week_before_the_season_is_before_most_first_hot_days(hot_f, springs):
    assert springs_warned(place().season_begins, hot_f) == springs


@pytest.mark.parametrize(("hot_f", "springs"), [(80.0, 3), (85.0, 13)])
def test_waiting_until_warm_days_are_the_rule_would_be_too_late(hot_f, springs):
    assert springs_warned(place().summer_begins, hot_f) == springs
