"""One day in the best order: as cheap as the best of all orders."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import MaxIterations, broken_rules, plan, score
from scheduling.planner.day_route import MOST_STOPS, best_day
from tests.scheduling.planner.small import cheapest_total, made_up, season, visit, workday


@settings(max_examples=30, deadline=None)
@given(st.randoms(use_true_random=False))
def test_no_order_of_a_day_is_cheaper(chance):
    problem = made_up(chance, visits=5, workdays=1, days=1)
    days = tuple(replace(day, skills=frozenset({"gas"})) for day in problem.workdays)
    calls = tuple(
        replace(v, kept=None, due_day=None, due_from_day=0, unplaced_min=9e5)
        for v in problem.visits
    )
    problem = replace(problem, visits=calls, workdays=days)
    found, least = best_day(problem, 0, list(range(5))), cheapest_total(problem)
    if found is None:
        assert least >= 9e5
    else:
        assert found.proven
        assert found.price_min == pytest.approx(least, abs=1e-3)


@pytest.mark.parametrize("drive_min", [60.0, 60.0 - 1e-5, 60.0 + 1e-5])
def test_who_arrives_on_the_border_of_a_half_hour_counts_as_having_come_before_it(drive_min):
    turns_cold_at_10 = [1.0 if half_hour < 20 else 0.0 for half_hour in range(48)]
    calls = [visit("A", warmth_class=0)]
    problem = season(calls, [workday()], drive_min=drive_min, warmth=[[turns_cold_at_10]])
    found = best_day(problem, 0, [0])
    planned = plan(problem, MaxIterations(50), seed=1)
    assert found.price_min == pytest.approx(120.0, abs=1e-3)
    assert score(problem, planned).total_min == pytest.approx(120.0, abs=1e-3)
    assert broken_rules(problem, planned) == []


def test_twelve_stops_are_put_in_their_proven_order():
    chance = random.Random(1)
    problem = made_up(chance, visits=12, workdays=1, days=1)
    long = replace(problem.workdays[0], end_min=1700.0, skills=frozenset({"gas"}), lunch=None)
    calls = tuple(
        replace(v, windows=None, due_from_day=0, kept=None, service_min=30.0, warmth_class=None)
        for v in problem.visits
    )
    problem = replace(problem, visits=calls, workdays=(long,))
    found = best_day(problem, 0, list(range(12)))
    searched = score(problem, plan(problem, MaxIterations(3000), seed=1))
    assert found.proven
    assert found.price_min <= searched.travel_min + 1e-3


def test_more_stops_than_that_are_refused():
    problem = season([visit(n, 1 + n) for n in range(13)], [workday()])
    with pytest.raises(ValueError, match=f"At most {MOST_STOPS} stops"):
        best_day(problem, 0, list(range(13)))


def test_visits_that_do_not_fit_have_no_order():
    problem = season([visit("A", service_min=600.0)], [workday()])
    assert best_day(problem, 0, [0]) is None
