"""Is it as warm as often as was said? Chances told, against what came."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up import climate
from tests.weather.made_up_forecasts import NOON, forecast
from weather.reliability import LEAST_CASES, Told, binned, told_and_came
from weather.skill import START_SKILL

HOUR = timedelta(hours=1)
CHICAGO = ZoneInfo("America/Chicago")


def compared(came, forecasts=None):
    return list(
        told_and_came(
            forecasts or [forecast(first_h=0)],
            came,
            climate=climate(),
            skill=START_SKILL,
            zone=CHICAGO,
            test_temperature_f=55.0,
        )
    )


def test_an_hour_counts_as_warm_when_it_was_warm_all_through():
    came = {NOON + n * HOUR: 60.0 - 10.0 * (n == 3) for n in range(5)}
    assert [one.was_warm for one in compared(came)] == [True, True, False, False]


def test_hours_nobody_observed_are_left_out():
    assert compared({}) == []
    assert compared({NOON: 60.0}) == []


def test_nights_and_hours_before_it_was_made_are_left_out():
    came = {NOON + n * HOUR: 60.0 for n in range(-10, 20)}
    assert len(compared(came)) == 6  # noon to six


def test_of_a_day_s_forecasts_the_first_counts():
    came = {NOON + n * HOUR: 60.0 for n in range(3)}
    later = forecast([90.0] * 50, first_h=0)
    later = type(later)("nws", NOON + HOUR, NOON + HOUR, later.hours)
    assert compared(came, [later, forecast(first_h=0)]) == compared(came)


@given(st.lists(st.builds(Told, st.floats(0, 1), st.booleans()), max_size=300))
def test_every_class_holds_what_was_told_within_it(told):
    found = binned(told)
    assert sum(one.cases for one in found) <= len(told)
    assert [one.told for one in found] == sorted(one.told for one in found)
    assert all(one.cases >= LEAST_CASES and 0.0 <= one.came <= 1.0 for one in found)


def test_a_class_with_few_cases_says_nothing():
    assert binned([Told(0.95, True)] * (LEAST_CASES - 1)) == ()
    (one,) = binned([Told(0.95, True)] * 9 + [Told(0.95, False)])
    assert (one.told, one.came, one.cases) == (pytest.approx(0.95), 0.9, 10)
