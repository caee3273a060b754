"""Climate and forecast joined: what people rely on when a check is kept or moved."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up import climate, climates, days
from tests.weather.made_up_forecasts import NOON, forecast, forecasts, hour
from weather.forecast import Forecast
from weather.outlook import Outlook
from weather.skill import START_SKILL
from weather.warmth import day_band, hourly_band, warmth, warmth_table

SAVING = -5.0  # Milwaukee's clock in April
TODAY = date(2027, 4, 20)
TESTS_F = st.floats(30, 90)


def week(first=TODAY, length=10):
    return [first + timedelta(days=n) for n in range(length)]


def table(outlook, test_f=55.0, dates=None):
    dates = dates or week()
    return outlook.table(dates, test_f, clock_offset_h=[SAVING] * len(dates))


@given(climates(), forecasts(), TESTS_F)
def test_every_chance_lies_between_nothing_and_one(kind, said, test_f):
    chances = table(Outlook(kind, NOON, said), test_f)
    assert chances.shape == (10, 48)
    assert np.all((chances >= 0.0) & (chances <= 1.0))


@given(climates(), days(), TESTS_F, st.floats(0.5, 6))
def test_without_a_forecast_it_says_exactly_what_the_climate_says(kind, day, test_f, span_h):
    dates, offsets = week(day, 3), [SAVING] * 3
    alone = Outlook(kind, NOON).table(dates, test_f, clock_offset_h=offsets, span_h=span_h)
    climate_s = warmth_table(kind, dates, test_f, clock_offset_h=offsets, span_h=span_h)
    assert np.array_equal(alone, climate_s)


@given(climates(), st.floats(0, 23.5), st.floats(0.5, 6), TESTS_F)
def test_without_a_forecast_one_slot_and_the_bands_are_the_climate_s_too(kind, start, span_h, f):
    outlook = Outlook(kind, NOON)
    one = outlook.warmth(TODAY, start, span_h, f, clock_offset_h=SAVING)
    assert one == warmth(kind, TODAY, start, span_h, f, clock_offset_h=SAVING)
    assert outlook.hourly_band(TODAY, clock_offset_h=SAVING) == hourly_band(
        kind, TODAY, clock_offset_h=SAVING
    )
    assert outlook.day_band(TODAY, clock_offset_h=SAVING) == day_band(kind, TODAY)


@given(climates(), forecasts(), TESTS_F, st.floats(0, 40))
def test_a_colder_forecast_is_never_warmer(kind, said, test_f, colder_by_f):
    colder = replace(
        said,
        hours=tuple(replace(h, temperature_f=h.temperature_f - colder_by_f) for h in said.hours),
    )
    warm, cold = (table(Outlook(kind, NOON, one), test_f) for one in (said, colder))
    assert np.all(cold <= warm + 1e-12)


@given(climates(), forecasts(), TESTS_F, st.integers(0, 46))
def test_the_table_and_the_single_slot_say_the_same(kind, said, test_f, step):
    outlook = Outlook(kind, NOON, said)
    one = outlook.warmth(TODAY, step / 2, 2.0, test_f, clock_offset_h=SAVING)
    assert one == pytest.approx(table(outlook, test_f, [TODAY])[0, step], abs=1e-12)


@given(st.floats(20, 90), st.floats(0, 40), st.floats(0, 40))
def test_an_older_forecast_lies_nearer_to_the_climate(said_f, age_h, more_h):
    def middle(age):
        outlook = Outlook(climate(), NOON, forecast([said_f] * 60, age_h=age))
        return np.array(outlook.hourly_band(TODAY, clock_offset_h=SAVING).p50_f)

    plain = np.array(hourly_band(climate(), TODAY, clock_offset_h=SAVING).p50_f)
    away, older = (np.abs(middle(age) - plain) for age in (age_h, age_h + more_h))
    assert np.all(older <= away + 1e-9)


def test_after_two_days_of_silence_the_climate_stands_alone():
    silent = Outlook(climate(), NOON, forecast(age_h=48.5))
    assert not silent.uses_forecast
    assert silent.stale
    assert np.array_equal(table(silent), table(Outlook(climate(), NOON)))


def test_it_is_stale_after_twelve_hours():
    assert not Outlook(climate(), NOON, forecast(age_h=12.0)).stale
    assert Outlook(climate(), NOON, forecast(age_h=12.1)).stale
    assert Outlook(climate(), NOON).age_h is None


def test_a_warm_forecast_makes_a_cold_season_s_afternoon_testable():
    cold = climate(tmax_f=45.0, tmin_f=30.0, swing_f=0.0)
    outlook = Outlook(cold, NOON, forecast([70.0] * 60))
    assert outlook.warmth(TODAY, 13.0, 2.0, 55.0, clock_offset_h=SAVING) > 0.95
    assert outlook.source_of(TODAY + timedelta(days=1)) != "climate"
    assert outlook.source_of(TODAY + timedelta(days=9)) == "climate"


def test_the_learnt_bias_is_taken_off():
    cold_grid = replace(START_SKILL, bias_f=(-6.0,) * 8)
    plain = Outlook(climate(), NOON, forecast())
    put_right = replace(plain, skill=cold_grid)
    assert np.all(table(put_right) >= table(plain))
    warmer = replace(plain, forecast=forecast([64.0] * 156))
    assert table(put_right) == pytest.approx(table(warmer))


def test_hours_that_the_forecast_leaves_out_are_the_climate_s():
    said = Forecast("nws", NOON, NOON, (hour(0), hour(1), hour(2), hour(9), hour(10)))
    found = Outlook(climate(), NOON, said).hourly_band(TODAY, clock_offset_h=SAVING)
    plain = hourly_band(climate(), TODAY, clock_offset_h=SAVING)
    same = [a == b for a, b in zip(found.p50_f, plain.p50_f, strict=True)]
    assert same[:12] == [True] * 12
    assert same[12:15] == [False] * 3
    assert same[15:21] == [True] * 6


def test_on_the_night_of_the_clock_change_each_moment_is_where_it_belongs():
    # 14 March 2027: at 2:00 the clock stands at 3:00; a slot from 1:00 to 4:00 spans it.
    sunday, noon_before = date(2027, 3, 14), NOON - timedelta(days=38)
    rising = tuple(replace(hour(k - 38 * 24), temperature_f=40.0 + k) for k in range(48))
    outlook = Outlook(climate(), noon_before, Forecast("nws", noon_before, noon_before, rising))
    winter, summer = (outlook.hourly_band(sunday, clock_offset_h=h) for h in (-6.0, SAVING))
    assert summer.p50_f[9:20] == pytest.approx(winter.p50_f[8:19])
    whole = outlook.warmth(sunday, 1.0, 3.0, 55.0, clock_offset_h=-6.0)
    parts = [outlook.warmth(sunday, k, 1.0, 55.0, clock_offset_h=-6.0) for k in (1.0, 2.0, 3.0)]
    assert whole == pytest.approx(min(parts))


def test_days_ahead_are_counted_by_the_clock_of_the_place():
    late_evening = NOON + timedelta(hours=11)  # 23:00 in Milwaukee, already the 21st in UTC
    outlook = Outlook(climate(), late_evening, forecast())
    assert outlook.lead_of(TODAY, SAVING) == 0
    assert outlook.lead_of(TODAY + timedelta(days=1), SAVING) == 1


def test_a_past_day_is_the_climate_s():
    yesterday = [TODAY - timedelta(days=1)]
    said = forecast(first_h=-40)
    assert np.array_equal(
        table(Outlook(climate(), NOON, said), dates=yesterday),
        table(Outlook(climate(), NOON), dates=yesterday),
    )


def test_the_warmest_hour_foretold_is_the_day_s_maximum():
    band = Outlook(climate(), NOON, forecast([70.0] * 60)).day_band(TODAY, clock_offset_h=SAVING)
    assert band.p10_f < band.p50_f < band.p90_f
    assert 62.0 < band.p50_f < 71.0


@pytest.mark.parametrize(("test_f", "span_h"), [(20.0, 2.0), (55.0, 0.0), (55.0, 25.0)])
def test_questions_without_sense_are_refused(test_f, span_h):
    outlook = Outlook(climate(), NOON)
    with pytest.raises(ValueError, match=r"must lie in|is no check"):
        outlook.table([TODAY], test_f, clock_offset_h=[SAVING], span_h=span_h)
    with pytest.raises(ValueError, match="a whole number of steps"):
        outlook.table([TODAY], 55.0, clock_offset_h=[SAVING], step_min=7)
    with pytest.raises(ValueError, match="need as many offsets"):
        outlook.table([TODAY], 55.0, clock_offset_h=[])
