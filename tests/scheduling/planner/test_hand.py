"""The methods by hand that the planner is compared with: careful, and true to the same rules."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import KeptSlot, Plan, Slot, broken_rules, clashes, hand, score
from scheduling.planner.score import warmth_of
from tests.scheduling.planner.small import (
    made_up,
    season,
    visit,
    warm_from,
    with_visits,
    workday,
)

METHODS = {
    "by date": lambda problem: hand.by_date(problem, [0.0] * len(problem.visits)),
    "by ZIP": lambda problem: hand.by_zip(problem, [v.place % 2 for v in problem.visits]),
    "nearest": hand.nearest,
}
each_method = pytest.mark.parametrize("method", METHODS.values(), ids=METHODS)


@each_method
@settings(max_examples=40)
@given(chance=st.randoms(use_true_random=False), visits=st.integers(0, 9))
def test_every_hard_rule_is_kept(method, chance, visits):
    problem = made_up(chance, visits=visits)
    assert broken_rules(problem, method(problem)) == []


@each_method
@settings(max_examples=20)
@given(chance=st.randoms(use_true_random=False))
def test_fixed_visits_stay_and_nothing_joins_a_day_on_which_they_clash(method, chance):
    problem = made_up(chance)
    problem = with_visits(problem, *(replace(v, fixed=v.kept is not None) for v in problem.visits))
    unavoidable = [words for day in clashes(problem).values() for words in day]
    assert broken_rules(problem, method(problem)) == unavoidable


@each_method
def test_checks_wait_for_warmth_and_the_repair_takes_the_cold_morning(method):
    visits = [visit("check", 1, warmth_class=0), visit("repair", 2)]
    problem = season(visits, [workday()], warmth=[[warm_from(780)]])
    check, repair = method(problem).slots
    assert check.start_min >= 780.0
    assert repair.start_min == 550.0


@each_method
def test_what_has_no_place_in_the_end_may_go_where_it_is_just_warm_enough(method):
    problem = season(
        [visit("check", warmth_class=0)], [workday()], warmth=[[warm_from(600, warm=0.62)]],
        least_warmth=0.6,
    )  # fmt: skip
    assert warmth_of(problem, method(problem).slots[0]) == pytest.approx(0.62)


@each_method
def test_a_promise_is_kept(method):
    promised = visit("A", kept=KeptSlot(1, 800.0))
    problem = season([promised], [workday(0), workday(1)], days=2)
    assert method(problem) == Plan((Slot(0, 1, 800.0),))


def test_by_date_goes_to_last_years_day_or_the_next_with_room():
    visits = [visit(n, 1, service_min=420.0) for n in range(3)]
    problem = season(visits, [workday(day) for day in range(4)], days=4)
    found = hand.by_date(problem, [1.0, 1.0, 1.5])
    assert [slot.workday for slot in found.slots] == [1, 2, 3]


def test_by_zip_stays_in_an_area_while_any_fits():
    visits = [visit(n, 1 + n) for n in range(5)]
    found = hand.by_zip(season(visits, [workday()]), [7, 8, 7, 8, 7])
    order = [slot.visit for slot in found.by_workday()[0]]
    assert [n % 2 for n in order] == [0, 0, 0, 1, 1]


def test_nearest_goes_to_the_nearest_home_next():
    visits = [visit(n, 1 + n) for n in range(3)]
    problem = season(visits, [workday()])
    problem.travel_min[:] = abs(
        problem.travel_min[:, :1] * 0 + [[0, 9, 3, 6]] - [[0], [9], [3], [6]]
    )
    assert [slot.visit for slot in hand.nearest(problem).by_workday()[0]] == [1, 2, 0]


def test_by_hand_leaves_out_what_cannot_be_placed():
    problem = season([visit("A", skills=frozenset({"gas"}))], [workday()])
    assert score(problem, hand.nearest(problem)).placed == 0
