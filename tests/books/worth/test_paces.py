"""How long drives took against what was expected of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from books.worth.paces import (
    LEAST_FOR_A_ROW,
    TimedDrives,
    by_area,
    by_distance,
    by_minutes,
    pace_of,
)
from customers.places import PARKING_MIN

SEVERAL = st.lists(st.floats(1.0, 60.0), min_size=1, max_size=40)


def timed(expected, slower=1.0, areas=None):
    expected = np.array(expected, float)
    return TimedDrives(
        expected_min=expected,
        took_min=expected * slower + PARKING_MIN,
        straight_km=expected / 2,
        area=areas or ["53012"] * len(expected),
    )


@given(SEVERAL, st.floats(0.5, 3.0))
def test_roads_that_are_slower_by_a_part_are_found_to_be_so_and_parking_is_not(expected, slower):
    pace = pace_of(timed(expected, slower))
    assert pace.percent == pytest.approx(100 * slower, abs=0.51)
    assert pace.low == pace.percent == pace.high
    assert pace.drives == len(expected)


def test_one_who_stopped_for_lunch_is_no_slow_road():
    drives = timed([10.0] * 9)
    drives.took_min[4] += 90
    assert pace_of(drives).percent == 100


def test_of_no_drives_nothing_is_said():
    assert pace_of(timed([])) is None
    assert by_distance(timed([])) == by_area(timed([]), 5) == by_minutes(timed([])) == []


@given(SEVERAL)
def test_every_drive_counts_in_at_most_one_row_of_a_table_and_small_rows_are_left_out(expected):
    for rows in (by_distance(timed(expected)), [pace for _, pace in by_minutes(timed(expected))]):
        assert sum(row.drives for row in rows) <= len(expected)
        assert all(row.drives >= LEAST_FOR_A_ROW for row in rows)


def test_the_areas_that_most_drives_went_to_come_first():
    drives = timed([10.0] * 16, areas=["53012"] * 5 + ["53024"] * 7 + ["53092"] * 4)
    assert [(row.name, row.drives) for row in by_area(drives, 5)] == [("53024", 7), ("53012", 5)]
    assert len(by_area(drives, 1)) == 1
