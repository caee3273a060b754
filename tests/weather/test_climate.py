"""A climate answers for any day of any year, and refuses to be nonsense."""

import json
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up import climate, climates
from weather.climate import Climate, ClimateRefused, daily_normal, daily_normals, year_day


@given(climates())
def test_it_survives_being_written_as_json(kind):
    assert Climate.from_dict(json.loads(json.dumps(kind.to_dict()))) == kind


@given(climates(), st.integers(1, 12), st.integers(1, 28))
def test_a_date_has_the_same_normal_every_year(kind, month, day):
    common, leap = date(2027, month, day), date(2028, month, day)
    assert daily_normal(kind, common) == daily_normal(kind, leap)


def test_29_february_lies_between_its_neighbours():
    before, leap, after = (year_day(date(2028, 2, 28) + timedelta(days=n)) for n in range(3))
    assert (before, leap, after) == (59.0, 59.5, 60.0)
    assert year_day(date(2028, 12, 31)) == year_day(date(2027, 12, 31)) == 365.0


def test_many_days_at_once_are_the_same_as_one_by_one():
    kind, days = climate(), [date(2028, 1, 1) + timedelta(days=n) for n in range(366)]
    tmax_mean, _, _, tmin_sd = daily_normals(kind, days)
    assert tmax_mean.tolist() == pytest.approx([daily_normal(kind, d).tmax_mean_f for d in days])
    assert tmin_sd.tolist() == pytest.approx([8.0] * 366)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"latitude": 70.0}, "latitude is 70.0; it must lie in -65 to 65"),
        ({"longitude": 200.0}, "longitude is 200.0"),
        ({"longitude": 88.0}, "longitude 88 and UTC offset -6 h do not belong together"),
        ({"latitude": float("nan")}, "latitude is nan"),
        ({"correlation": 1.1}, "correlation is 1.1"),
        ({"sd_f": 0.0}, "On 01 January the spread of the maximum is not positive."),
        ({"tmax_f": 39.0}, "the mean maximum is below the mean minimum"),
        ({"tmax_f": float("inf")}, "tmax_mean_f must be 7 numbers"),
    ],
)
def test_nonsense_is_refused_by_name(wrong, words):
    with pytest.raises(ClimateRefused, match=words):
        climate(**wrong)


def test_a_lost_or_foreign_key_is_named():
    kept = climate().to_dict()
    with pytest.raises(ClimateRefused, match="has the unknown altitude"):
        Climate.from_dict({**kept, "altitude": 200})
    del kept["station"], kept["correlation"]
    with pytest.raises(ClimateRefused, match="lacks correlation, station"):
        Climate.from_dict(kept)


def test_a_curve_of_five_numbers_is_refused():
    kept = climate().to_dict() | {"tmin_sd_f": [8.0] * 5}
    with pytest.raises(ClimateRefused, match="tmin_sd_f must be 7 numbers"):
        Climate.from_dict(kept)
