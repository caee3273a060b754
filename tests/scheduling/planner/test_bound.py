"""The bound on cold trips: never above what a plan has, and not nothing."""

import random

import pytest

from scheduling.planner import MaxIterations, plan, score
from scheduling.planner.bound import fewest_cold_trips
from tests.scheduling.planner.small import made_up, season, visit, warm_from, with_visits, workday


@pytest.mark.parametrize("seed", range(10))
def test_no_plan_has_fewer_cold_trips_than_the_bound(seed):
    problem = made_up(random.Random(seed), visits=8)
    problem = with_visits(
        problem, *(v for v in problem.visits if v.kept is None and v.windows != ())
    )
    cost = score(problem, plan(problem, MaxIterations(1000)))
    bound = fewest_cold_trips(problem, cost.placed)
    assert bound <= cost.cold_trips + 1e-6


def test_checks_that_cannot_all_be_done_in_the_warm_hours_raise_the_bound():
    checks = [visit(n, 1 + n, warmth_class=0) for n in range(6)]
    warm_late = season(checks, [workday()], warmth=[[warm_from(960)]])
    few = season(checks[:1], [workday()], warmth=[[warm_from(960)]])
    assert fewest_cold_trips(few, 1) == pytest.approx(0.1)
    assert fewest_cold_trips(warm_late, 6) > 4 * 0.8


def test_more_visits_than_fit_have_no_bound():
    checks = [visit(n, 1 + n, warmth_class=0) for n in range(20)]
    problem = season(checks, [workday()], warmth=[[warm_from(600)]])
    assert fewest_cold_trips(problem, 20) is None


def test_nothing_placed_is_no_cold_trip():
    assert fewest_cold_trips(season([visit("A")], [workday()]), 0) == 0.0


def test_the_solver_says_nothing_to_whoever_uses_it(capfd):
    check = visit("A", warmth_class=0)
    fewest_cold_trips(season([check], [workday()], warmth=[[warm_from(600)]]), 1)
    assert capfd.readouterr() == ("", "")
