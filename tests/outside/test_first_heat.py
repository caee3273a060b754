"""The first day of 85 °F, from a climate and as it really came.

Milwaukee 1991-2020 (GHCN-Daily USW00014839, public domain): the median of the thirty first days is
day 142.5 of the year, the range 105 to 182; computed from the station's own days, kept here as
this test's copy. Champion, Nebraska 1982-2018: the days that aquacrop 3.1.0 carries.
"""

import statistics

from tests.outside.test_first_hot_days import champion
from weather.demonstration import demonstration_climate
from weather.fitting import fit_climate
from weather.signs import HOT_F, first_hot_day

MILWAUKEE_MEDIAN, MILWAUKEE_FIRST, MILWAUKEE_LAST = 142.5, 105, 182
YEAR = 2027  # no leap year


def day_number(climate, share):
    return first_hot_day(climate, YEAR, share).timetuple().tm_yday


def test_milwaukee_s_first_heat_comes_in_the_middle_within_three_days_of_the_real_one():
    assert abs(day_number(demonstration_climate(), 0.5) - MILWAUKEE_MEDIAN) <= 3


def test_milwaukee_s_early_and_late_years_lie_within_what_came():
    early, late = (day_number(demonstration_climate(), share) for share in (0.1, 0.9))
    assert MILWAUKEE_FIRST <= early < MILWAUKEE_MEDIAN < late <= MILWAUKEE_LAST


def test_on_the_high_plains_it_is_weeks_early_and_never_late():
    where = {"latitude": 40.4, "longitude": -101.7, "utc_offset_h": -7.0}
    names = {"place": "Champion, Nebraska", "station": "Champion", "source": "aquacrop 3.1.0"}
    climate = fit_climate(champion(), **where, **names)
    hot = [one.day for one in champion() if one.tmax_f >= HOT_F]
    came = [
        min(day for day in hot if day.year == year).timetuple().tm_yday
        for year in range(1982, 2019)
    ]
    early = statistics.median(came) - day_number(climate, 0.5)
    assert 14 <= early <= 35
