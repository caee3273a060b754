"""How few cold trips any plan can have, with what stands in the season."""

import random
from dataclasses import replace

import pytest

from scheduling.lower_bound import fewest_cold
from scheduling.planner import KeptSlot, MaxIterations, clashes, plan, score
from tests.scheduling.planner.small import made_up, season, visit, warm_from, with_visits, workday


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_has_fewer_whatever_stands(seed):
    chance = random.Random(seed)
    problem = made_up(chance, visits=8)
    visits = [v for v in problem.visits if v.windows != ()]
    fixed = [replace(v, fixed=v.kept is not None and chance.random() < 0.4) for v in visits]
    problem = with_visits(problem, *fixed)
    if clashes(problem):
        problem = with_visits(problem, *visits)
    found = plan(problem, MaxIterations(1000))
    assert fewest_cold(problem, found) <= score(problem, found).cold_trips + 1e-6


def test_a_promise_counts_as_it_is():
    kept = KeptSlot(0, 600.0)  # cold at ten
    promised = visit("A", 1, warmth_class=0, kept=kept, fixed=True)
    problem = season([promised], [workday()], warmth=[[warm_from(720, cold=0.2)]])
    assert fewest_cold(problem, plan(problem, MaxIterations(100))) == pytest.approx(0.8)


def test_a_pencilled_slot_that_the_rules_allow_does_not_hide_the_bound():
    pencilled = visit("A", 1, warmth_class=0, kept=KeptSlot(0, 840.0), move_min=5.0)
    problem = season([pencilled], [workday()], warmth=[[warm_from(720)]])
    assert fewest_cold(problem, plan(problem, MaxIterations(100))) == pytest.approx(0.1)
