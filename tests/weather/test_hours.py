"""The curve of a day: where the sun puts the minimum and the maximum."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from weather.hours import UNIT_DAY, Extremes, daylight, de_wit, linvill, parton_logan

CHICAGO = (41.88, -87.63, -6.0)
MIDSUMMER, MIDWINTER = 172.0, 355.0
FORMS = [parton_logan, de_wit, linvill]
latitudes = st.floats(-65, 65)
year_days = st.floats(1, 365)


@pytest.mark.parametrize(
    ("year_day", "sunrise_h", "sunset_h"),
    [(MIDSUMMER, 4.26, 19.48), (MIDWINTER, 7.25, 16.38)],
)
def test_the_sun_of_chicago_rises_and_sets_by_the_almanac(year_day, sunrise_h, sunset_h):
    # 4:16 and 19:29 CST; 7:15 and 16:23 CST: common almanac values, from memory.
    light = daylight(*CHICAGO, year_day)
    assert light.sunrise_h == pytest.approx(sunrise_h, abs=0.05)
    assert light.sunset_h == pytest.approx(sunset_h, abs=0.05)


@given(latitudes, year_days)
def test_north_and_south_share_the_daylight(latitude, year_day):
    north = daylight(latitude, 0.0, 0.0, year_day).length_h
    south = daylight(-latitude, 0.0, 0.0, year_day).length_h
    assert 0.0 < north < 24.0
    assert 24.0 < north + south < 25.5  # refraction lengthens both, most near the poles


@pytest.mark.parametrize("form", FORMS)
@given(latitude=latitudes, year_day=year_days, hour=st.floats(0, 24))
def test_a_day_like_its_neighbours_stays_between_its_extremes(form, latitude, year_day, hour):
    weight = form(hour, UNIT_DAY, daylight(latitude, 0.0, 0.0, year_day))
    assert -0.02 <= weight <= 1.0


@pytest.mark.parametrize("form", FORMS)
def test_an_april_afternoon_is_warm_and_its_dawn_cold(form):
    light = daylight(*CHICAGO, 105.0)
    dawn, morning, afternoon, evening = form(np.array([5.3, 9.0, 14.0, 21.0]), UNIT_DAY, light)
    assert dawn < 0.1 < morning < afternoon
    assert afternoon > 0.95 > evening > dawn


@pytest.mark.parametrize("form", FORMS)
def test_a_curve_meets_both_days_at_the_bounds(form):
    light = daylight(*CHICAGO, 105.0)
    day = Extremes(40.0, 60.0, 45.0, 70.0, 50.0)
    late, early = form(23.99, day, light), form(0.01, day, light)
    assert 50.0 < late < 70.0
    assert 45.0 < early < 60.0


def test_the_maximum_comes_nearly_two_hours_after_the_middle_of_the_day():
    light = daylight(*CHICAGO, 105.0)
    clock = np.arange(0.0, 24.0, 0.05)
    warmest = clock[parton_logan(clock, UNIT_DAY, light).argmax()]
    noon = light.sunrise_h + light.length_h / 2
    assert warmest - noon == pytest.approx(1.86 - 0.17, abs=0.05)
