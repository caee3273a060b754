"""How far National Weather Service forecasts of the day's maximum are off, and what follows.

Source: J. Lundell, B. Bean and J. Symanzik, "Let's talk about the weather", Data Expo 2018
(repository jillbo1000/Data_Expo_2018, summary_city_month_lag.csv): forecasts against what came,
113 cities of the United States, 2014-2017. The figures below are means over cities that we
computed from it; they are this test's own copy.
"""

from itertools import pairwise
from statistics import NormalDist

import pytest

from weather.blending import LEAD_SD_F, chance_at_least

# March to May, 21 cities of the Midwest (the list of the cities was not kept).
SD_F = (3.52, 4.17, 4.73, 5.36, 6.06, 6.99)
# March to May, the 25 cities in the twelve states that the Census Bureau calls the Midwest.
TWELVE_STATES_SD_F = (3.56, 4.24, 4.81, 5.45, 6.21, 7.15)
# The chance, in per cent, that it is 55 °F or more when so much is foretold, 0 to 5 days ahead.
CHANCES = {
    50: (8, 12, 15, 18, 20, 24),
    52: (20, 24, 26, 29, 31, 33),
    58: (80, 76, 74, 71, 69, 67),
    60: (92, 88, 85, 82, 80, 76),
    65: (100, 99, 98, 97, 95, 92),
}


@pytest.mark.parametrize("foretold_f", CHANCES)
def test_the_chance_of_fifty_five_degrees_is_the_one_that_was_computed(foretold_f):
    found = chance_at_least(55.0, float(foretold_f), list(SD_F))
    assert [round(100 * chance) for chance in found] == list(CHANCES[foretold_f])


@pytest.mark.parametrize("lead_days", range(6))
def test_the_chance_is_the_normal_distribution_s(lead_days):
    sd_f = SD_F[lead_days]
    expected = 1.0 - NormalDist(58.0, sd_f).cdf(55.0)
    assert float(chance_at_least(55.0, 58.0, sd_f)) == pytest.approx(expected, abs=1e-12)


def test_a_place_begins_with_the_spread_of_the_twelve_states():
    assert LEAD_SD_F[:6] == TWELVE_STATES_SD_F


def test_which_cities_one_takes_moves_the_chance_by_at_most_one_in_a_hundred():
    for foretold_f in CHANCES:
        ours = chance_at_least(55.0, float(foretold_f), list(TWELVE_STATES_SD_F))
        theirs = chance_at_least(55.0, float(foretold_f), list(SD_F))
        assert abs(ours - theirs).max() < 0.01


def test_six_and_seven_days_ahead_go_on_at_the_pace_of_the_days_before():
    growth = [later - sooner for sooner, later in pairwise(LEAD_SD_F)]
    assert all(0.55 <= step <= 0.95 for step in growth)
