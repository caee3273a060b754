"""Observed days become the climate they came from, or are refused with the figures."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.weather.made_up import SITE, climate, weather_of
from weather.climate import ClimateRefused, DailyRecord
from weather.fitting import fit_climate


@settings(max_examples=8, deadline=None)
@given(st.floats(55, 90), st.floats(10, 35), st.floats(2, 12))
def test_it_finds_the_climate_that_the_days_were_made_from(tmax_f, swing_f, sd_f):
    made = climate(tmax_f=tmax_f, tmin_f=tmax_f - 20, swing_f=swing_f, sd_f=sd_f)
    found = fit_climate(weather_of(made), **SITE)
    assert found.tmax_mean_f == pytest.approx(made.tmax_mean_f, abs=0.1)
    assert found.tmin_mean_f == pytest.approx(made.tmin_mean_f, abs=0.1)
    assert found.tmax_sd_f == pytest.approx(made.tmax_sd_f, abs=0.1)
    assert found.correlation == pytest.approx(1.0, abs=0.01)


def test_the_order_of_the_days_does_not_matter():
    days = weather_of(climate())
    assert fit_climate(days[::-1], **SITE) == fit_climate(days, **SITE)


def test_it_says_where_it_comes_from():
    found = fit_climate(weather_of(climate()), **SITE, demonstration=True)
    assert (found.station, found.period, found.demonstration) == ("XX000", "2001-2012", True)


def test_a_day_without_a_minimum_counts_as_missing():
    days = weather_of(climate())
    days[100] = replace(days[100], tmin_f=None)
    without = [*days[:100], *days[101:]]
    assert fit_climate(days, **SITE) == fit_climate(without, **SITE)


def test_just_ten_years_are_enough_and_nine_are_not():
    ten = weather_of(climate(), date(2001, 1, 1), date(2010, 12, 31))
    assert fit_climate(ten, **SITE).period == "2001-2010"
    with pytest.raises(ClimateRefused, match=r"2010-12-31, 9\.0 years; .* at least 10"):
        fit_climate(ten[365:], **SITE)


def test_more_than_a_tenth_missing_is_refused_with_the_figures():
    days = weather_of(climate())
    gappy = [day for n, day in enumerate(days) if n % 8]
    gappy = [days[0], *gappy]
    with pytest.raises(ClimateRefused, match=r"of 4,383 days \(12\.5%\) .* at most 10% may"):
        fit_climate(gappy, **SITE)


def test_a_month_that_was_hardly_seen_is_refused_by_name():
    days = [d for d in weather_of(climate()) if d.day.month != 4 or d.day.day < 20]
    with pytest.raises(ClimateRefused, match=r"132 of 360 days of April \(36\.7%\)"):
        fit_climate(days, **SITE)


def test_a_maximum_below_its_minimum_is_refused_by_its_day():
    days = weather_of(climate())
    days[3] = DailyRecord(days[3].day, 20.0, 30.0)
    with pytest.raises(ClimateRefused, match=r"on 1 day\(s\), first on 2001-01-04 \(TMAX 20\.0"):
        fit_climate(days, **SITE)


def test_celsius_taken_for_fahrenheit_is_noticed():
    cool = climate(tmax_f=14.0, tmin_f=4.0, swing_f=14.0, sd_f=4.0)
    with pytest.raises(ClimateRefused, match=r"hottest day of all is 32\.0 °F.*units right"):
        fit_climate(weather_of(cool), **SITE)


def test_no_day_and_a_day_twice_are_refused():
    with pytest.raises(ClimateRefused, match="no day"):
        fit_climate([], **SITE)
    days = weather_of(climate())
    with pytest.raises(ClimateRefused, match="2001-01-01 occurs twice"):
        fit_climate([days[0], *days], **SITE)


def test_a_station_east_of_its_clock_is_refused_before_anything_else():
    with pytest.raises(ClimateRefused, match="do not belong together"):
        fit_climate([], **{**SITE, "longitude": 88.0})


def test_a_climate_without_weather_still_has_a_spread():
    still = [DailyRecord(date(2001, 1, 1) + timedelta(days=n), 70.0, 50.0) for n in range(4000)]
    found = fit_climate(still, **SITE)
    assert found.tmax_sd_f[0] == pytest.approx(1.0)
    assert found.correlation == 0.0
