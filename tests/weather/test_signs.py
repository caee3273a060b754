"""Signs of weather to be warned of: the first heat, and hours in which nobody should climb."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up import climate, climates
from tests.weather.made_up_forecasts import NOON, forecast, hour
from weather.forecast import Forecast
from weather.outlook import Outlook
from weather.signs import Danger, Storm, dangers_of, first_heat, first_hot_day, storms

HOUR = timedelta(hours=1)
WEEK = [date(2027, 4, 20) + timedelta(days=n) for n in range(8)]


def heat(temperatures_f, kind=None, **more):
    outlook = Outlook(kind or climate(), NOON, forecast(temperatures_f))
    return first_heat(outlook, WEEK, clock_offset_h=[-5.0] * 8, **more)


def test_it_warns_of_the_first_day_that_is_likely_to_be_hot():
    found = heat([70.0] * 48 + [95.0] * 48)
    assert found.day == date(2027, 4, 22)
    assert 0.5 <= found.chance <= 1.0


def test_a_mild_week_has_no_heat():
    assert heat([70.0] * 156) is None


def test_beyond_the_forecast_it_does_not_guess():
    hot_place = climate(tmax_f=110.0, tmin_f=80.0, swing_f=0.0)
    outlook = Outlook(hot_place, NOON, forecast([70.0] * 30, first_h=-12))
    assert first_heat(outlook, WEEK, clock_offset_h=[-5.0] * 8) is None


@given(climates(), st.floats(0.05, 0.9), st.floats(0.05, 0.9))
def test_a_larger_share_of_years_takes_until_a_later_day(kind, one, other):
    sooner, later = (first_hot_day(kind, 2027, share) for share in sorted((one, other)))
    assert later is None or (sooner is not None and sooner <= later)


def test_where_it_is_never_hot_no_day_is_named():
    assert first_hot_day(climate(tmax_f=20.0, tmin_f=10.0), 2027, 0.5) is None


@pytest.mark.parametrize("share", [0.0, 1.0, 10.0])
def test_a_share_that_is_none_is_refused(share):
    with pytest.raises(ValueError, match="must lie between 0 and 1"):
        first_hot_day(climate(), 2027, share)


@pytest.mark.parametrize(
    ("temperature_f", "more", "dangers"),
    [
        (32.0, {"precipitation_percent": 30.0}, {Danger.ICE}),
        (33.0, {"precipitation_percent": 90.0}, set()),
        (20.0, {"precipitation_percent": 10.0}, set()),
        (35.0, {"conditions": "Chance Freezing Rain"}, {Danger.ICE}),
        (35.0, {"conditions": "Sleet Likely"}, {Danger.ICE}),
        (60.0, {"conditions": "Slight Chance Thunderstorms"}, {Danger.LIGHTNING}),
        (60.0, {"wind_mph": 25.0}, {Danger.WIND}),
        (60.0, {"wind_mph": 24.0, "conditions": "Nice and Breezy"}, set()),
        (28.0, {"wind_mph": 30.0, "conditions": "Ice"}, {Danger.ICE, Danger.WIND}),
        (60.0, {}, set()),
    ],
)
def test_ice_lightning_and_strong_wind_forbid_climbing(temperature_f, more, dangers):
    assert dangers_of(hour(0, temperature_f, **more)) == dangers


def test_hours_in_a_row_are_one_storm():
    thunder, wind = {"conditions": "Thunderstorms"}, {"wind_mph": 30.0}
    hours = (hour(0), hour(1, **thunder), hour(2, **wind), hour(3), hour(4, **wind))
    assert storms(Forecast("nws", NOON, NOON, hours)) == (
        Storm(NOON + HOUR, NOON + 3 * HOUR, frozenset({Danger.LIGHTNING, Danger.WIND})),
        Storm(NOON + 4 * HOUR, NOON + 5 * HOUR, frozenset({Danger.WIND})),
    )
