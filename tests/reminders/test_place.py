"""A place's year: when its cooling season is, and how much systems run."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reminders.place import place_facts
from tests.reminders.homes import MILWAUKEE
from tests.weather.made_up import climate, climates

RUNNING = {"cools": True, "heats": True}


def test_milwaukees_cooling_season_is_from_may_to_october():
    assert (MILWAUKEE.season_begins, MILWAUKEE.season_ends) == ((5, 3), (10, 12))
    assert (MILWAUKEE.summer_begins, MILWAUKEE.summer_ends) == ((5, 29), (9, 23))


def test_systems_run_most_in_january_and_least_between_the_seasons():
    january = MILWAUKEE.run_share(date(2027, 1, 5), 42, **RUNNING)
    may = MILWAUKEE.run_share(date(2027, 5, 15), 42, **RUNNING)
    july = MILWAUKEE.run_share(date(2027, 7, 1), 42, **RUNNING)
    assert may < july < january
    assert 0.5 < january < 0.8
    assert 0.2 < july < 0.4


def test_cooling_and_heating_are_counted_only_where_a_home_has_them():
    july = date(2027, 7, 1)
    cooling = MILWAUKEE.run_share(july, 30, cools=True, heats=False)
    heating = MILWAUKEE.run_share(july, 30, cools=False, heats=True)
    assert heating < 0.05 < cooling
    assert MILWAUKEE.run_share(july, 30, cools=False, heats=False) == 0
    assert MILWAUKEE.run_share(july, 30, **RUNNING) == pytest.approx(cooling + heating)


def test_a_stretch_over_the_new_year_is_one_stretch():
    over = MILWAUKEE.run_share(date(2027, 12, 17), 30, **RUNNING)
    december = MILWAUKEE.run_share(date(2027, 12, 17), 15, **RUNNING)
    january = MILWAUKEE.run_share(date(2028, 1, 1), 15, **RUNNING)
    assert over == pytest.approx((december + january) / 2)


def test_where_it_is_always_or_never_warm_the_year_has_no_edges():
    always, never = place_facts(climate(95, 75, swing_f=3)), place_facts(climate(20, 0, swing_f=5))
    for place in (always, never):
        assert place.season_begins is place.season_ends is None
        assert place.summer_begins is place.summer_ends is None


@given(climates(), st.dates(date(2024, 1, 1), date(2031, 12, 31)), st.integers(1, 365))
def test_a_share_is_a_share_in_any_climate(kind, first, days):
    assert 0.0 <= place_facts(kind).run_share(first, days, **RUNNING) <= 1.0


@given(climates())
def test_summer_lies_within_the_season(kind):
    place = place_facts(kind)
    if place.season_begins and place.summer_begins:
        assert place.season_begins <= place.summer_begins < place.summer_ends <= place.season_ends
