"""Warmth of a slot: a probability that behaves as people expect."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.made_up import climate, climates, days
from weather.demonstration import demonstration_climate
from weather.warmth import day_band, hourly_band, warmth, warmth_table

STANDARD, DAYLIGHT_SAVING = -6.0, -5.0
tests_f = st.floats(30, 90)
starts = st.floats(0, 23.99)
spans = st.floats(0.1, 12)


@given(climates(), days(), starts, spans, tests_f)
def test_it_is_a_probability(kind, day, start, hours, test_f):
    assert 0.0 <= warmth(kind, day, start, hours, test_f) <= 1.0


@given(climates(), days(), starts, spans, tests_f, tests_f)
def test_a_higher_test_temperature_is_never_warmer(kind, day, start, hours, one_f, other_f):
    low_f, high_f = sorted((one_f, other_f))
    assert warmth(kind, day, start, hours, high_f) <= warmth(kind, day, start, hours, low_f)


@given(climates(), days(), starts, spans, spans, tests_f)
def test_a_longer_check_is_never_warmer(kind, day, start, one_h, other_h, test_f):
    short_h, long_h = sorted((one_h, other_h))
    assert warmth(kind, day, start, long_h, test_f) <= warmth(kind, day, start, short_h, test_f)


@given(climates(), days(), st.integers(0, 47), tests_f)
def test_the_table_says_what_the_single_slot_says(kind, day, step, test_f):
    table = warmth_table(kind, [day], test_f, clock_offset_h=[DAYLIGHT_SAVING])
    alone = warmth(kind, day, step / 2, 2.0, test_f, clock_offset_h=DAYLIGHT_SAVING)
    assert table[0, step] == pytest.approx(alone, abs=1e-12)


@given(climates(), days())
def test_the_bands_are_in_order(kind, day):
    hourly = hourly_band(kind, day, clock_offset_h=DAYLIGHT_SAVING)
    assert len(hourly.p10_f) == len(hourly.p50_f) == len(hourly.p90_f) == 24
    assert all(np.array(hourly.p10_f) <= np.array(hourly.p50_f))
    assert all(np.array(hourly.p50_f) <= np.array(hourly.p90_f))
    whole = day_band(kind, day)
    assert whole.p10_f <= whole.p50_f <= whole.p90_f


def test_a_season_is_one_row_a_day_and_one_column_each_half_hour():
    season = [date(2028, 2, 15) + timedelta(days=n) for n in range(120)]  # over 29 February
    table = warmth_table(climate(), season, 55.0, clock_offset_h=[STANDARD] * 120)
    assert table.shape == (120, 48)
    assert table.dtype == np.float64
    assert np.all(np.abs(np.diff(table, axis=0)) < 0.05)  # no day jumps out of its season


def test_no_days_make_an_empty_table():
    assert warmth_table(climate(), [], 55.0, clock_offset_h=[]).shape == (0, 48)


def test_the_clock_of_summer_shifts_the_day_by_an_hour():
    day = [date(2027, 4, 20)]
    standard = warmth_table(climate(), day, 55.0, clock_offset_h=[STANDARD])
    saving = warmth_table(climate(), day, 55.0, clock_offset_h=[DAYLIGHT_SAVING])
    assert saving[0, 20:40].tolist() == pytest.approx(standard[0, 18:38].tolist())


def test_an_hourly_table_of_short_checks_can_be_asked_for():
    table = warmth_table(
        climate(), [date(2027, 4, 20)], 55.0, clock_offset_h=[STANDARD], span_h=1.0, step_min=60
    )
    alone = warmth(climate(), date(2027, 4, 20), 10.0, 1.0, 55.0)
    assert table.shape == (1, 24)
    assert table[0, 10] == pytest.approx(alone, abs=1e-9)


def test_the_early_afternoon_of_spring_is_the_warmest_time():
    table = warmth_table(
        demonstration_climate(), [date(2027, 5, 1)], 55.0, clock_offset_h=[DAYLIGHT_SAVING]
    )[0]
    assert table.argmax() in range(26, 31)  # 13:00 to 15:00
    assert table[16] < table[20] < table[26]  # 8:00, 10:00, 13:00


def test_the_middle_line_crosses_the_test_temperature_where_the_odds_are_even():
    day, kind = date(2027, 5, 1), demonstration_climate()
    middle = hourly_band(kind, day, clock_offset_h=DAYLIGHT_SAVING).p50_f[11]
    moment = warmth(kind, day, 11.0, 0.01, middle, clock_offset_h=DAYLIGHT_SAVING)
    assert moment == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("test_f", [5.0, 29.9, 90.1, 500.0, float("nan")])
def test_a_test_temperature_that_tests_nothing_is_refused(test_f):
    with pytest.raises(ValueError, match="must lie in 30 to 90 °F"):
        warmth(climate(), date(2027, 5, 1), 13.0, 2.0, test_f)
    with pytest.raises(ValueError, match="must lie in 30 to 90 °F"):
        warmth_table(climate(), [date(2027, 5, 1)], test_f, clock_offset_h=[STANDARD])


@pytest.mark.parametrize(("start", "hours"), [(-1.0, 2.0), (24.0, 2.0), (9.0, 0.0), (9.0, 25.0)])
def test_hours_that_are_no_time_are_refused(start, hours):
    with pytest.raises(ValueError, match=r"start_hour is|hours is no check"):
        warmth(climate(), date(2027, 5, 1), start, hours, 55.0)


def test_a_table_wants_one_clock_a_day_and_whole_steps():
    day = [date(2027, 5, 1)]
    with pytest.raises(ValueError, match="1 days need as many clock offsets, not 2"):
        warmth_table(climate(), day, 55.0, clock_offset_h=[STANDARD, STANDARD])
    with pytest.raises(ValueError, match="step_min is 7"):
        warmth_table(climate(), day, 55.0, clock_offset_h=[STANDARD], step_min=7)
