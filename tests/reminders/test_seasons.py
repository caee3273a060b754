"""The year at the outdoor unit and the returns."""

from datetime import date, timedelta

import pytest

from reminders.facts import Sent
from reminders.seasons import due_seasonal
from tests.reminders.homes import QUIET, home, quiet_place

COVERED = {"winter_cover": True, "ice_falls_on_unit": True}


def year(one, place=QUIET, first=date(2027, 1, 1)):
    """The first day on which each seasonal reminder of a year is due, by occasion."""
    found = {}
    for day in (first + timedelta(days=n) for n in range(365)):
        for reminder in due_seasonal(one, place, day, ()):
            found.setdefault(reminder.occasion, (day, reminder))
    return found


def days_of(one, place=QUIET):
    return {occasion: day for occasion, (day, _) in year(one, place).items()}


def test_every_home_that_cools_is_asked_to_rinse_once_in_late_spring():
    assert days_of(home()) == {"rinse:2027": date(2027, 5, 29)}


def test_a_home_that_does_not_cool_hears_nothing():
    furnace_only = home(cools=False, plants_near_unit=True, high_low_returns=True, **COVERED)
    assert days_of(furnace_only) == {}


def test_the_cover_comes_off_a_week_before_the_season_and_back_on_after_it():
    days = days_of(home(**COVERED))
    assert days["cover_off:2027"] == date(2027, 4, 26)
    assert days["cover_on:2027"] == date(2027, 10, 12)


def test_an_early_check_brings_the_cover_off_sooner():
    early = home(**COVERED, next_cooling_check=date(2027, 4, 15))
    day, reminder = year(early)["cover_off:2027"]
    assert day == date(2027, 4, 11)
    assert reminder.why.startswith("Our cooling check is on April 15")
    assert reminder.reasons == ("check_near",)


def test_a_late_check_does_not_make_the_cover_wait():
    late = home(**COVERED, next_cooling_check=date(2027, 6, 20))
    day, reminder = year(late)["cover_off:2027"]
    assert (day, reminder.reasons) == (date(2027, 4, 26), ("warm_days_near",))


def test_a_check_of_next_year_says_nothing_about_this_spring():
    next_year = home(**COVERED, next_cooling_check=date(2028, 4, 15))
    assert days_of(next_year)["cover_off:2027"] == date(2027, 4, 26)


def test_a_check_booked_for_tomorrow_still_gets_its_reminder_today():
    soon = home(**COVERED, next_cooling_check=date(2027, 4, 2))
    [reminder] = due_seasonal(soon, QUIET, date(2027, 4, 1), ())
    assert reminder.due_on == date(2027, 3, 29)


def test_a_check_that_moves_does_not_ask_twice_in_a_spring():
    moved = home(**COVERED, next_cooling_check=date(2027, 5, 20))
    asked = (Sent("cover_off", "", date(2027, 4, 1)),)
    days = [date(2027, 4, 1) + timedelta(days=n) for n in range(60)]
    found = [one for day in days for one in due_seasonal(moved, QUIET, day, asked)]
    assert {one.kind for one in found} == {"rinse"}


def test_a_cover_is_never_suggested_to_a_home_that_has_none():
    assert not {"cover_off:2027", "cover_on:2027"} & days_of(home(ice_falls_on_unit=True)).keys()


@pytest.mark.parametrize("ice", [None, False])
def test_where_no_ice_falls_the_cover_stays_off(ice):
    days = days_of(home(winter_cover=True, ice_falls_on_unit=ice))
    assert "cover_off:2027" in days
    assert "cover_on:2027" not in days


def test_a_heat_pump_is_never_covered_in_winter():
    assert "cover_on:2027" not in days_of(home(heat_pump=True, **COVERED))


def test_plants_are_cut_back_in_spring_where_there_are_plants():
    assert days_of(home(plants_near_unit=True))["plants:2027"] == date(2027, 5, 3)
    assert "plants:2027" not in days_of(home(plants_near_unit=None))


def test_returns_are_switched_when_cooling_takes_over_and_when_heating_does():
    days = days_of(home(high_low_returns=True))
    assert days["returns:cooling:2027"] == date(2027, 5, 29)
    assert days["returns:heating:2027"] == date(2027, 9, 20)
    assert days_of(home(high_low_returns=True, heats=False)).keys() == {"rinse:2027"}


def test_low_returns_are_closed_for_cooling_and_high_ones_for_heating():
    found = year(home(high_low_returns=True))
    assert "close the low returns and open the high" in found["returns:cooling:2027"][1].why
    assert "close the high returns and open the low" in found["returns:heating:2027"][1].why


def test_where_it_is_never_cold_plants_and_hose_have_fixed_days_and_the_rest_falls_away():
    edgeless = dict.fromkeys(["season_begins", "season_ends", "summer_begins", "summer_ends"])
    everything = home(plants_near_unit=True, high_low_returns=True, **COVERED)
    days = days_of(everything, quiet_place(**edgeless))
    assert days == {"plants:2027": date(2027, 3, 15), "rinse:2027": date(2027, 5, 15)}


@pytest.mark.parametrize(("late", "found"), [(-1, 0), (0, 1), (10, 1), (11, 0)])
def test_a_reminder_that_was_missed_goes_out_within_ten_days(late, found):
    today = date(2027, 5, 29) + timedelta(days=late)
    assert len(due_seasonal(home(), QUIET, today, ())) == found


def test_it_goes_out_once_a_year_also_over_the_new_year():
    place = quiet_place(season_ends=(12, 28))
    asked = (Sent("cover_on", "", date(2028, 1, 3)),)
    [late] = due_seasonal(home(**COVERED), place, date(2028, 1, 3), ())
    assert late.occasion == "cover_on:2027"
    assert due_seasonal(home(**COVERED), place, date(2028, 1, 4), asked) == []
    assert due_seasonal(home(**COVERED), place, date(2028, 12, 28), asked)


def test_last_years_reminder_does_not_stand_in_for_this_years():
    asked = (Sent("rinse", "", date(2026, 6, 5)),)
    assert due_seasonal(home(), QUIET, date(2027, 5, 29), asked)


def test_every_reminder_at_the_unit_says_what_not_to_do():
    found = year(home(plants_near_unit=True, high_low_returns=True, **COVERED))
    cautions = {occasion: {c.id for c in one.cautions} for occasion, (_, one) in found.items()}
    assert {"power_off", "garden_hose", "stay_out"} <= cautions["rinse:2027"]
    assert "cover_vented" in cautions["cover_on:2027"]
    assert "never_run_covered" in cautions["cover_off:2027"]
    assert {"clear_by", "power_off"} <= cautions["plants:2027"]
    assert all(cautions.values())
