"""A forecast as it came: put in order, judged, and asked for its hours."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up_forecasts import NOON, forecast, hour
from weather.forecast import ForecastRefused, forecast_of

HOUR = timedelta(hours=1)


def made(*hours):
    return forecast_of("nws", NOON - HOUR, NOON, hours)


def seconds_h(moment):
    return moment.timestamp() / 3600.0


def test_it_puts_the_hours_in_order():
    kept, said = made(hour(3), hour(1), hour(2))
    assert [one.at for one in kept.hours] == [NOON + n * HOUR for n in (1, 2, 3)]
    assert said == ()


def test_it_leaves_out_what_is_past_and_keeps_the_hour_under_way():
    kept, _ = made(hour(-5), replace(hour(0), at=NOON - HOUR / 2), hour(1))
    assert [one.at for one in kept.hours] == [NOON - HOUR / 2, NOON + HOUR]


def test_a_forecast_of_the_past_only_is_refused():
    with pytest.raises(ForecastRefused, match="no hour that is still to come"):
        made(hour(-5), hour(-4))


def test_of_two_values_for_one_hour_the_later_counts_and_it_says_so():
    kept, said = made(hour(1, 50.0), hour(1, 60.0))
    assert [one.temperature_f for one in kept.hours] == [60.0]
    assert said == ("Two values for 2027-04-20 18:00 UTC; the later one counts.",)


def test_a_gap_is_named():
    _, said = made(hour(0), hour(1), hour(8))
    assert said == ("Nothing is foretold from 2027-04-20 18:00 to 2027-04-21 01:00 UTC.",)


@pytest.mark.parametrize("value", [-81.0, 141.0, 291.0, float("nan")])
def test_a_temperature_that_no_air_has_is_refused(value):
    with pytest.raises(ForecastRefused, match="is no air temperature; it must lie in -80 to 140"):
        made(hour(1, value))


def test_the_hour_that_the_clock_gives_back_in_autumn_is_two_hours():
    daylight, standard = timezone(-5 * HOUR), timezone(-6 * HOUR)
    asked = datetime(2027, 11, 7, 5, tzinfo=UTC)
    first = replace(hour(0, 40.0), at=datetime(2027, 11, 7, 1, tzinfo=daylight))
    second = replace(hour(0, 39.0), at=datetime(2027, 11, 7, 1, tzinfo=standard))
    kept, said = forecast_of("nws", asked, asked, [first, second])
    assert [one.at.hour for one in kept.hours] == [6, 7]
    assert said == ()


def test_between_two_hours_it_is_on_the_line_and_outside_nothing_is_made_up():
    kept, _ = made(hour(1, 50.0), hour(2, 60.0))
    asked = np.array([seconds_h(NOON + k * HOUR) for k in (0.5, 1.0, 1.5, 2.0, 2.5)])
    found = kept.temperatures_at(asked)
    assert found[1:4].tolist() == pytest.approx([50.0, 55.0, 60.0])
    assert np.isnan(found[[0, 4]]).all()


def test_inside_a_long_gap_nothing_is_made_up():
    kept, _ = made(hour(1, 50.0), hour(2, 52.0), hour(6, 60.0))
    found = kept.temperatures_at(np.array([seconds_h(NOON + k * HOUR) for k in (2, 4, 6)]))
    assert np.isnan(found).tolist() == [False, True, False]


@given(st.lists(st.floats(-80, 140), min_size=2, max_size=40), st.floats(0, 39))
def test_what_it_says_lies_between_the_values_it_was_given(values_f, hours_on):
    kept = forecast(values_f, first_h=0)
    (found,) = kept.temperatures_at(np.array([seconds_h(NOON) + hours_on]))
    assert np.isnan(found) == (hours_on > len(values_f) - 1)
    assert np.isnan(found) or min(values_f) - 1e-9 <= found <= max(values_f) + 1e-9


def test_its_age_counts_from_when_it_was_made_and_is_never_below_nothing():
    assert forecast(age_h=3.0).age_h(NOON + HOUR) == pytest.approx(4.0)
    assert forecast(age_h=-500.0).age_h(NOON) == 0.0
