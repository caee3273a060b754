"""What a plan costs: each term by itself, the sum, and the same sum inside the search."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import (
    KeptSlot,
    MaxIterations,
    Plan,
    Prices,
    ProblemRefused,
    Slot,
    plan,
    score,
)
from scheduling.planner.tables import WORTH_WAITING_MIN
from tests.scheduling.planner.small import (
    A_BIT_MIN,
    looks,
    made_up,
    season,
    visit,
    warm_from,
    with_visits,
    workday,
)

AT_TEN = Plan((Slot(0, 0, 600.0),))


def test_travel_goes_from_the_shop_over_every_stop_and_back():
    two = season([visit("A", 1), visit("B", 2)], [workday()])
    cost = score(two, Plan((Slot(0, 0, 600.0), Slot(1, 0, 700.0))))
    assert cost.travel_min == cost.total_min == 30.0
    assert cost.placed == 2


def test_a_cold_trip_costs_its_price_times_its_probability():
    check = season([visit("A", warmth_class=0)], [workday()], warmth=[[warm_from(660)]])
    cost = score(check, AT_TEN)
    assert cost.cold_trips == pytest.approx(0.8)
    assert cost.term("cold trips").minutes == pytest.approx(0.8 * Prices().cold_trip_min)


def test_work_that_needs_no_warmth_is_never_cold():
    repair = season([visit("A")], [workday()], warmth=[[warm_from(660)]])
    assert score(repair, AT_TEN).cold_trips == 0.0


def test_every_day_past_the_due_day_costs():
    late = season([visit("A", due_day=1)], [workday(day=4)], days=5)
    term = score(late, AT_TEN).term("late days")
    assert (term.amount, term.minutes) == (3, 6.0)


def test_a_visit_left_out_costs_its_own_price():
    cost = score(season([visit("A", unplaced_min=450.0)], [workday()]), Plan((None,)))
    assert (cost.total_min, cost.placed) == (450.0, 0)


@pytest.mark.parametrize(
    ("slot", "moved"),
    [(Slot(0, 0, 600.0), 0), (Slot(0, 0, 630.0), 0), (Slot(0, 0, 631.0), 1), (None, 1)],
)
def test_leaving_a_kept_slot_by_more_than_half_an_hour_is_a_move(slot, moved):
    kept = visit("A", kept=KeptSlot(0, 600.0), move_min=30.0)
    term = score(season([kept], [workday()]), Plan((slot,))).term("moved")
    assert (term.amount, term.minutes) == (moved, 30.0 * moved)


def test_who_drives_moves_no_visit():
    kept = visit("A", kept=KeptSlot(0, 600.0), move_min=30.0)
    problem = season([kept], [workday(), workday(technician="Ben"), workday(1)], days=2)
    moved = [score(problem, Plan((Slot(0, w, 600.0),))).term("moved").amount for w in range(3)]
    assert moved == [0, 0, 1]


@pytest.mark.parametrize("seed", range(5))
def test_the_total_is_the_sum_of_its_terms(seed):
    problem = made_up(random.Random(seed))
    cost = score(problem, plan(problem, MaxIterations(500), seed))
    assert cost.total_min == pytest.approx(sum(term.minutes for term in cost.terms))
    assert {term.name for term in cost.terms} == {
        "travel", "cold trips", "late days", "moved", "unplaced",
    }  # fmt: skip


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_a_plan_never_costs_more_than_the_search_has_counted(chance):
    problem, seen = made_up(chance), []
    found = plan(problem, MaxIterations(1000), watch=seen.append)
    assert seen[-1].figures() == score(problem, found)
    assert seen[-1].score >= score(problem, found).total_min - A_BIT_MIN


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_where_no_wait_for_warmth_is_too_short_to_count_both_sums_are_the_same(chance):
    whole, seen = made_up(chance), []
    problem = with_visits(whole, *(replace(v, warmth_class=None) for v in whole.visits))
    plan(problem, looks(1000, seen))
    for counted, scored in seen:
        assert counted == pytest.approx(scored)


@pytest.mark.parametrize("seed", range(10))
def test_with_warmth_the_sums_differ_by_less_than_what_is_not_worth_waiting_for(seed):
    problem, seen = made_up(random.Random(seed)), []
    found = plan(problem, MaxIterations(1000), seed, watch=seen.append)
    overlooked_min = WORTH_WAITING_MIN * len(problem.visits)
    assert seen[-1].score <= score(problem, found).total_min + overlooked_min


def test_nonsense_is_refused_by_name():
    wrong = season([visit("Ortiz", service_min=-5.0)], [workday()])
    with pytest.raises(ProblemRefused) as refused:
        plan(wrong, MaxIterations(1))
    assert refused.value.reasons == [
        "Visit Ortiz: the duration must be zero minutes or more, not -5.0."
    ]
