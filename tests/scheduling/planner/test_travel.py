"""Drives from where places lie: the same plan and the same minutes as from a table."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduling.planner import (
    MaxIterations,
    ProblemRefused,
    Roads,
    Travel,
    broken_rules,
    earth_points,
    plan,
    score,
)
from tests.scheduling.planner.small import made_up, season, visit, workday

BRIEFLY = MaxIterations(500)
TOWNS = np.array([[0, 0, 0], [3, 4, 0], [30, 40, 0]], float)


def by_points(problem, chance, **facts):
    points = [[chance.uniform(0, 20), chance.uniform(0, 20), 0] for _ in range(problem.places)]
    return Travel(np.array(points), **facts)


def test_short_roads_wind_more_than_long_ones():
    travel = Travel(TOWNS, Roads(stop_min=2.0))
    assert travel.minutes(0, 1) == pytest.approx(5 * 1.40 * 1.5 + 2)
    assert travel.minutes(0, 2) == pytest.approx(50 * 1.25 * 1.5 + 2)
    assert travel.minutes(1, 1) == 0.0


def test_drives_are_rounded_up_to_whole_steps():
    assert Travel(TOWNS, Roads(step_min=5.0)).minutes(0, 1) == 15.0


def test_a_home_known_by_its_zip_alone_is_never_quite_near():
    travel = Travel(TOWNS, least_km=np.array([0.0, 10.0, 0.0]))
    assert travel.minutes(0, 1) == Travel(2 * TOWNS).minutes(0, 1)


def test_known_drives_may_differ_by_direction():
    known = np.array([[0, 7], [11, 0]], np.float32)
    travel = Travel(TOWNS, known=(0, 2), known_min=known)
    assert (travel.minutes(0, 2), travel.minutes(2, 0)) == (7.0, 11.0)
    assert travel.minutes(0, 1) == Travel(TOWNS).minutes(0, 1)


@given(st.integers(0, 2**32))
def test_the_table_holds_each_drive(seed):
    chance = random.Random(seed)
    problem = made_up(chance)
    travel = by_points(problem, chance, least_km=np.full(problem.places, 2.0))
    table = travel.table()
    for a in range(problem.places):
        for b in range(problem.places):
            assert table[a, b] == pytest.approx(travel.minutes(a, b), rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_points_and_their_table_give_the_same_plan(seed):
    chance = random.Random(seed)
    problem = made_up(chance, visits=9)
    whole = by_points(problem, chance, roads=Roads(step_min=5.0))
    points = replace(problem, travel_min=whole)
    table = replace(problem, travel_min=whole.table())
    assert plan(points, BRIEFLY, seed=1) == plan(table, BRIEFLY, seed=1)


@pytest.mark.parametrize("seed", range(6))
def test_the_search_counts_drives_from_points_to_the_last_digit(seed):
    chance, seen = random.Random(seed), []
    problem = made_up(chance, visits=7)
    calls = tuple(replace(v, warmth_class=None) for v in problem.visits)
    table = np.array([[0, 9, 4], [2, 0, 8], [5, 6, 0]], np.float32)
    travel = by_points(problem, chance, known=(0, 3, 5), known_min=table)
    problem = replace(problem, travel_min=travel, visits=calls)
    found = plan(problem, MaxIterations(1000), watch=seen.append)
    assert broken_rules(problem, found) == []
    assert seen[-1].score == pytest.approx(score(problem, found).total_min, abs=1e-9)


def test_points_on_the_earth_are_great_circles_apart():
    milwaukee, madison = earth_points(np.array([43.0389, 43.0731]), np.array([-87.9065, -89.4012]))
    # Haversine on the same sphere.
    assert np.linalg.norm(milwaukee - madison) == pytest.approx(121.5, abs=0.3)


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"points_km": TOWNS[:, :2]}, "Points must be"),
        ({"points_km": TOWNS * np.nan}, "A point is infinite or not a number"),
        ({"least_km": np.zeros(2)}, "There are 2 shortest lines for 3 places"),
        ({"known": (9,), "known_min": np.zeros((1, 1))}, "is not one of the places"),
        ({"known": (0, 1)}, "The table of known drives must be"),
        ({"roads": Roads(near_km=9, far_km=3)}, "what is far must be farther"),
        ({"roads": Roads(min_per_km=-1)}, "The figures of the roads must be zero or more"),
    ],
)
def test_travel_of_nonsense_is_refused_in_words(facts, words):
    travel = Travel(**({"points_km": TOWNS} | facts))
    problem = replace(season([visit("A")], [workday()]), travel_min=travel)
    with pytest.raises(ProblemRefused, match=words):
        plan(problem, BRIEFLY)
