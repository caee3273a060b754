"""How far off forecasts are here: the published figures at first, then the place's own."""

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weather.blending import LEAD_SD_F
from weather.skill import LEADS, LEAST_SD_F, START_SKILL, Case, Skill, learn, same_season

errors_f = st.floats(-30, 30)


def cases(lead, *errors, hours=1):
    """`hours` cases of each day's error."""
    return [
        Case(lead, 60.0 + error, 60.0, day)
        for day, error in enumerate(errors)
        for _ in range(hours)
    ]


def test_a_place_begins_with_no_bias_and_the_published_spread():
    assert learn([]) == START_SKILL
    assert START_SKILL.sd_f == LEAD_SD_F


def test_a_forecast_that_is_always_six_degrees_too_cold_is_found_out():
    a_season = learn(cases(1, *[-6.0] * 90))
    assert a_season.bias_f[1] == pytest.approx(-6.0 * 90 / 120)
    assert a_season.sd_f[1] < START_SKILL.sd_f[1]
    assert a_season.bias_f[2] == 0.0


def test_ten_hours_of_one_day_count_as_one_day():
    assert learn(cases(0, -6.0, hours=10)) == learn(cases(0, -6.0))


def test_where_the_forecast_misses_by_much_the_spread_grows():
    assert learn(cases(0, *[12.0, -12.0] * 60)).sd_f[0] > 10.0


def test_no_forecast_counts_as_surer_than_one_degree():
    assert learn(cases(0, *[0.0] * 5000)).sd_f[0] == LEAST_SD_F


def test_days_too_far_ahead_are_left_out():
    assert learn(cases(LEADS, 9.0, 9.0)) == START_SKILL


@pytest.mark.parametrize(
    ("day", "of_it"),
    [("2027-12-20", True), ("2027-01-10", True), ("2026-12-01", True), ("2027-06-15", False)],
)
def test_a_season_reaches_over_the_turn_of_the_year(day, of_it):
    assert same_season(date.fromisoformat(day), date(2028, 1, 15)) is of_it


def test_a_forecast_for_the_past_is_refused():
    with pytest.raises(ValueError, match="days ahead begin at 0"):
        Case(-1, 50.0, 50.0, 0)


def test_a_skill_of_other_length_is_refused():
    with pytest.raises(ValueError, match="A skill has 8 leads"):
        Skill((0.0,), (1.0,), (0,))


@given(st.lists(st.tuples(st.integers(0, LEADS - 1), errors_f, st.integers(0, 400)), max_size=60))
def test_what_is_learnt_lies_between_the_start_and_the_worst_seen(seen):
    skill = learn(Case(lead, 60.0 + error, 60.0, day) for lead, error, day in seen)
    for lead in range(LEADS):
        worst = max([abs(error) for at, error, _ in seen if at == lead], default=0.0)
        assert abs(skill.bias_f[lead]) <= worst + 1e-9
        assert LEAST_SD_F <= skill.sd_f[lead] <= math.hypot(LEAD_SD_F[lead], 2 * worst) + 1e-9


@given(st.lists(errors_f, min_size=1, max_size=40))
def test_it_comes_back_from_plain_values_as_it_was(errors):
    skill = learn(cases(3, *errors))
    assert Skill.from_dict(skill.to_dict()) == skill
