"""Springs that might come: each start as often warm as its warmth says, days that go together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from books.capacity.springs import drawn_springs, ranks, real_spring


def test_each_start_is_warm_as_often_as_its_warmth_says():
    warmth = np.tile(np.linspace(0.0, 1.0, 48), (20, 1))
    share = drawn_springs(warmth, springs=4000).mean(axis=0)
    assert np.abs(share - warmth).max() < 0.03
    assert not share[:, 0].any()
    assert share[:, -1].all()


def test_a_warm_day_is_warm_in_all_its_likely_hours():
    warm = drawn_springs(np.tile(np.linspace(0.1, 0.9, 48), (30, 1)), springs=50)
    assert (np.diff(warm.astype(int), axis=2) >= 0).all()


@pytest.mark.parametrize("persistence", [0.0, 0.6, 0.9])
def test_neighbouring_days_go_together_as_asked(persistence):
    u = ranks(60, 3000, seed=2, persistence=persistence)
    together = np.corrcoef(u[:, :-1].ravel(), u[:, 1:].ravel())[0, 1]
    assert together == pytest.approx(persistence, abs=0.03)


@pytest.mark.parametrize("persistence", [-0.1, 1.0])
def test_days_that_could_not_go_together_so_are_refused(persistence):
    with pytest.raises(ValueError, match="persistence is"):
        ranks(3, 3, seed=1, persistence=persistence)


@given(st.integers(0, 23), st.floats(40, 70))
def test_one_cold_hour_spoils_every_test_that_touches_it(cold_hour, threshold_f):
    hours_f = np.full((1, 24), threshold_f)
    hours_f[0, cold_hour] = threshold_f - 0.1
    warm = real_spring(hours_f, threshold_f)[0]
    for start in range(48):
        first, last = start // 2, int(np.ceil(start / 2 + 2))
        assert warm[start] == (not first <= cold_hour <= last)


def test_an_hour_without_a_reading_is_not_warm():
    hours_f = np.full((1, 24), 90.0)
    hours_f[0, 12] = np.nan
    assert not real_spring(hours_f, 55.0)[0, 24]
    with pytest.raises(ValueError, match="24 hours"):
        real_spring(np.zeros((2, 23)), 55.0)
