"""Five policies in springs whose outcome can be worked out by hand.

Two technicians with four slots a day do 200 checks in 25 working days.
"""

from datetime import date

import pytest

from tests.weather.backtest.made_up_springs import (
    always_warm,
    cold_between,
    never_warm,
    spring,
)
from weather.backtest import Policy, Setup, run_policies

SURE = Setup(seeds=2, error_scale=0.0)  # forecasts are right
POLICY = Policy()
TWENTY_FIVE_DAYS_FROM_2_MARCH = date(2027, 4, 5).timetuple().tm_yday


def played(one, policy=POLICY, setup=SURE):
    return run_policies([one], policy, setup)


def test_in_an_always_warm_spring_everything_is_done_in_25_working_days():
    figures = played(always_warm())
    for name in ("repair", "short_notice", "foresight"):
        assert figures[name].warm_percent == 100.0
        assert figures[name].finish_doy == TWENTY_FIVE_DAYS_FROM_2_MARCH
        assert (figures[name].promises_broken, figures[name].trips_lost) == (0, 0)


def test_the_calendar_begins_on_the_first_of_april_whatever_the_weather():
    figures = played(never_warm())["calendar"]
    assert figures.finish_doy == date(2027, 5, 5).timetuple().tm_yday
    assert (figures.warm_percent, figures.trips_lost) == (0.0, 200)


def test_in_a_spring_never_warm_the_forecast_keeps_everyone_at_home():
    figures = played(never_warm())
    for name in ("repair", "short_notice", "foresight"):
        assert (figures[name].not_done, figures[name].trips_lost) == (200, 0)
        assert figures[name].finish_doy == date(2027, 7, 31).timetuple().tm_yday


def test_nothing_is_booked_by_a_climate_that_is_too_cold():
    assert played(always_warm(climate_f=50.0))["climate"].not_done == 200


def test_a_cold_snap_breaks_the_promises_that_were_made_before_a_forecast_knew():
    snap = cold_between(date(2027, 4, 12), date(2027, 4, 16), climate_f=85.0)
    setup = Setup(checks=400, seeds=1, error_scale=0.0)
    figures = played(snap, Policy(promise_days=10), setup)
    assert figures["climate"].trips_lost == 40
    assert (figures["repair"].trips_lost, figures["repair"].warm_percent) == (0, 100.0)
    assert 0 < figures["repair"].promises_broken <= 40
    assert played(snap, Policy(promise_days=7), setup)["repair"].promises_broken == 0


def test_a_test_on_a_hot_day_is_warm_but_no_longer_valid():
    figures = played(always_warm(heat_from=date(2027, 3, 15)))["foresight"]
    assert figures.warm_percent == 100.0
    assert figures.valid_before_85f == 9 * 8  # 2 to 12 March


def test_only_afternoons_warm_halves_the_day():
    afternoons = spring(lambda day: [35.0, 35.0, 75.0, 75.0])
    figures = played(afternoons)
    assert figures["repair"].warm_percent == figures["foresight"].warm_percent == 100.0
    assert figures["foresight"].finish_doy == date(2027, 5, 10).timetuple().tm_yday


def test_a_cold_trip_driven_again_is_done_in_the_end_and_still_counted_as_lost():
    snap = cold_between(date(2027, 4, 1), date(2027, 4, 7))
    once = played(snap)["calendar"]
    again = played(snap, setup=Setup(seeds=1, error_scale=0.0, return_trips=True))["calendar"]
    assert once.trips_lost == again.trips_lost == 40
    assert once.warm_percent == again.warm_percent == 80.0
    assert (once.valid_before_85f, again.valid_before_85f) == (160, 200)
    assert again.finish_doy > once.finish_doy


def test_the_short_notice_list_fills_what_turns_warm_too_late_for_the_others():
    figures = played(spring(lambda day: 60.0, climate_f=55.0), setup=Setup(seeds=4))
    with_list, without = figures["short_notice"], figures["repair"]
    assert with_list.finish_doy < without.finish_doy
    assert with_list.mean_notice_days < without.mean_notice_days


def test_a_last_look_at_the_notices_end_lets_cold_trips_happen_that_a_later_one_prevents():
    borderline = spring(lambda day: 50.0 + 12.0 * (day.day % 2))
    early, late = (
        played(borderline, Policy(last_look_days=days), Setup(seeds=4))["repair"] for days in (2, 0)
    )
    assert early.trips_lost > late.trips_lost
    assert early.promises_broken < late.promises_broken


def test_the_same_seed_gives_the_same_figures_and_another_gives_others():
    borderline = spring(lambda day: 60.0)
    setup = Setup(seeds=2)
    assert run_policies([borderline], POLICY, setup) == run_policies([borderline], POLICY, setup)
    more = run_policies([borderline], POLICY, Setup(seeds=3))
    assert more["repair"] != run_policies([borderline], POLICY, setup)["repair"]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"hold_limit": 1.2}, "hold_limit is 1.2; it must lie in 0 to 1."),
        ({"promise_days": 1}, "nothing can be promised later than the notice"),
        ({"test_temperature_f": 12}, "test_temperature_f is 12; it must lie in 30 to 90."),
    ],
)
def test_a_setting_that_makes_no_sense_is_refused(wrong, words):
    with pytest.raises(ValueError, match=words):
        Policy(**wrong)


def test_without_a_spring_there_is_nothing_to_play():
    with pytest.raises(ValueError, match="no spring"):
        run_policies([], POLICY, SURE)
