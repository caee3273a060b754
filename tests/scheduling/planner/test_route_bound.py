"""The bound on the whole cost: never above the best plan, and reached where a season is simple."""

import random
from dataclasses import replace
from itertools import count

import pytest

from scheduling.planner import KeptSlot, MaxIterations, plan, score
from scheduling.planner.route_bound import least_cost
from tests.scheduling.planner.small import (
    cheapest_total,
    made_up,
    season,
    visit,
    with_visits,
    workday,
)

BRIEFLY = MaxIterations(500)


@pytest.mark.parametrize("seed", range(10))
def test_no_plan_is_cheaper_than_the_bound(seed):
    whole = made_up(random.Random(seed))
    problem = with_visits(whole, *(replace(v, kept=None) for v in whole.visits))
    bound = least_cost(problem, plan(problem, BRIEFLY), seconds=1.5)
    assert bound is None or bound.least_min <= cheapest_total(problem) + 1e-3


def test_the_bound_is_reached_where_all_times_are_whole_steps():
    visits = [visit(n, 1 + n, unplaced_min=100.0) for n in range(12)]
    problem = season(visits, [workday(day) for day in range(2)], days=2)
    found = plan(problem, BRIEFLY)
    bound = least_cost(problem, found, seconds=10.0)
    assert bound.least_min == pytest.approx(score(problem, found).total_min, abs=0.5)


def test_no_plan_of_a_larger_season_is_cheaper_than_the_bound():
    whole = made_up(random.Random(1), visits=24, workdays=5)
    problem = with_visits(whole, *(replace(v, kept=None) for v in whole.visits))
    found = [plan(problem, BRIEFLY, seed) for seed in range(3)]
    bound = least_cost(problem, found[0], seconds=3.0)
    assert 0 < bound.least_min <= min(score(problem, each).total_min for each in found)


def test_promises_and_empty_plans_have_no_such_bound():
    promised = season([visit("A", kept=KeptSlot(0, 600.0))], [workday()])
    assert least_cost(promised, plan(promised, BRIEFLY), 1.0) is None
    nobody = season([visit("A")], [])
    assert least_cost(nobody, plan(nobody, BRIEFLY), 1.0) is None


def test_two_threads_find_the_same_bound_as_one():
    whole = made_up(random.Random(1), visits=24, workdays=5)
    problem = with_visits(whole, *(replace(v, kept=None) for v in whole.visits))
    known = plan(problem, BRIEFLY)

    def bound(threads):
        looks = count(step=0.02)  # as many seconds for every question of the clock
        return least_cost(problem, known, 2.0, lambda: next(looks), threads)

    assert bound(2) == bound(1)
