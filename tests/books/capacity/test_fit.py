"""How much fits, since when, and with one more: on springs small enough to count by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from books.capacity.fit import Fit, warm_minutes

# Two springs of three days: one gives 60, 0, 120 minutes, the other 0, 60, 60.
SPRINGS = np.array([[60.0, 0.0, 120.0], [0.0, 60.0, 60.0]])


def fit(owed, minutes=SPRINGS, visit_min=60.0, technicians=1.0):
    return Fit(minutes, owed, visit_min, technicians)


def test_minutes_count_only_where_it_is_warm_and_somebody_works():
    warm = np.zeros((1, 1, 48), bool)
    warm[0, 0, 20:30] = True
    working = np.zeros((1, 48))
    working[0, 28:40] = 30.0
    assert warm_minutes(warm, working).tolist() == [[60.0]]


def test_what_fits_surely_is_what_fits_into_the_worse_spring():
    assert (fit(2).fits(1.0), fit(2).fits(0.0)) == (2, 3)
    assert (fit(2).more(1.0), fit(3).more(1.0)) == (0, -1)


def test_it_is_cleared_on_the_day_on_which_both_springs_have_had_enough():
    assert fit(1).cleared_by(1.0) == 1
    assert fit(2).cleared_by(1.0) == 2
    assert fit(4).cleared_by(1.0) is None


def test_the_last_day_to_begin_is_told_backwards():
    assert fit(1).start_by(1.0) == 2
    assert fit(2).start_by(1.0) == 1
    assert fit(4).start_by(0.0) is None
    assert fit(0).start_by(1.0) == 2


def test_the_chance_counts_springs():
    assert (fit(2).chance(), fit(3).chance(), fit(4).chance()) == (1.0, 0.5, 0.0)


def test_one_more_technician_works_as_the_others_do():
    two = fit(2, technicians=2.0).with_more(1)
    assert two.total_min(0.0) == pytest.approx(270.0)
    assert fit(2, technicians=0.0).with_more(1).total_min(0.0) == 180.0


def test_a_visit_without_minutes_is_refused():
    with pytest.raises(ValueError, match="takes some minutes"):
        fit(1, visit_min=0.0)


DAYS = st.lists(st.lists(st.floats(0, 500), min_size=5, max_size=5), min_size=2, max_size=12)


@given(DAYS, st.integers(0, 40))
def test_surer_is_never_more_and_later_never_sooner(days, owed):
    found = fit(owed, np.array(days))
    fits = [found.fits(certainty) for certainty in (0.5, 0.8, 0.95)]
    assert fits == sorted(fits, reverse=True)
    starts = [found.start_by(certainty) for certainty in (0.5, 0.8, 0.95)]
    known = [-1 if start is None else start for start in starts]
    assert known == sorted(known, reverse=True)
    assert (np.diff(found.by_day(0.8)) >= -1e-9).all()
