"""What a day's driving is, and what each of its stops has of it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from books.worth.drives import drives_min, shared_min
from customers.places import ZIP_SPREAD_KM, Place, travel_minutes

DEGREES = st.tuples(st.floats(43.0, 44.0), st.floats(-88.5, -87.5))


def test_a_small_worked_day():
    """Out 20 min, on 10 and 6, back 24: 60 in all. Out and back, 44, is 14.67 for each of three.
    Of the ways between, the first has 5, the second 5 + 3, the third 3."""
    parts = shared_min(np.array([1, 1, 1]), np.array([20.0, 10, 6]), np.array([99.0, 99, 24]))
    assert parts.tolist() == [20, 22, 18]


def test_a_single_stop_has_the_way_there_and_back():
    assert shared_min(np.array([7]), np.array([15.0]), np.array([16.0])).tolist() == [31]


def test_a_season_without_trips_has_no_drive():
    assert shared_min(np.array([], int), np.array([]), np.array([])).tolist() == []


@given(
    st.lists(
        st.lists(st.tuples(st.floats(0, 120), st.floats(0, 120)), min_size=1, max_size=8),
        min_size=1, max_size=6,
    )
)  # fmt: skip
def test_the_parts_add_up_to_each_days_drive(days):
    number = np.repeat(np.arange(len(days)), [len(day) for day in days])
    to_min, back_min = np.array([stop for day in days for stop in day]).T
    parts = shared_min(number, to_min, back_min)
    for n, day in enumerate(days):
        whole = sum(to for to, _ in day) + day[-1][1]
        assert parts[number == n].sum() == pytest.approx(whole, abs=0.5 + 1e-5)
        assert (parts >= 0).all()


@given(DEGREES, DEGREES, st.booleans())
def test_many_drives_at_once_are_as_one_alone(here, there, by_zip):
    alone = travel_minutes(Place(*here), Place(*there, "zip" if by_zip else "exact"))
    least = np.array([ZIP_SPREAD_KM if by_zip else 0.0])
    found = drives_min(np.array([here]), np.array([there]), least)
    assert found[0] == pytest.approx(alone, abs=1e-6)
