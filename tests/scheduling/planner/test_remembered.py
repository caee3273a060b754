"""What a route remembers at each visit: every bit means one visit there, and no bit outlives it."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from scheduling.planner.remembered import REMEMBERED, net_of


def of_points(seed, homes):
    points = np.random.default_rng(seed).uniform(0, 20, (homes, 2))
    drives = np.linalg.norm(points[:, None] - points, axis=2)
    order = np.argsort(drives + np.diag(np.full(homes, np.inf)), axis=1)[:, : homes - 1]
    return net_of(np.ones((homes, homes), np.int32), drives, order.astype(np.int32))


def remembered(net, visit):
    """The visits that are remembered at one, by the bits that bar them."""
    return {
        int(other): int(net.barred[visit, other]) for other in np.flatnonzero(net.barred[visit])
    }


@given(st.integers(0, 2**32), st.integers(2, 80))
def test_no_two_remembered_visits_have_the_same_bit(seed, homes):
    net = of_points(seed, homes)
    for visit in range(homes):
        bits = remembered(net, visit)
        assert len(set(bits.values())) == len(bits) <= REMEMBERED


@given(st.integers(0, 2**32), st.integers(2, 30))
def test_a_route_takes_along_what_both_visits_remember(seed, homes):
    net = of_points(seed, homes)
    for visit in range(homes):
        here = remembered(net, visit)
        for other in range(homes):
            there = remembered(net, other)
            both = sum(bit for one, bit in here.items() if one in there)
            assert int(net.keep[visit, other]) == both


def test_bits_suffice_for_many_homes_at_one_place():
    net = net_of(np.ones((100, 100), np.int32), np.zeros((100, 100)), np.tile(range(9), (100, 1)))
    for visit in range(100):
        bits = remembered(net, visit)
        assert len(set(bits.values())) == len(bits)
