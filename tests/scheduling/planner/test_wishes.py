"""Wishes with a price: each is a term of the score, and each moves the plan."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import (
    KeptSlot,
    MaxIterations,
    Plan,
    Prices,
    Slot,
    Window,
    broken_rules,
    plan,
    score,
)
from tests.scheduling.planner.small import (
    A_BIT_MIN,
    LUNCH,
    NINE,
    NOON,
    looks,
    made_up,
    season,
    visit,
    workday,
)

BRIEFLY = MaxIterations(500)
AT_TEN = Slot(0, 0, 600.0)
WISHES = Prices(
    overtime_min=0.5,
    other_technician_min=7.0,
    off_area_day_min=9.0,
    after_heat_min=31.0,
    uneven_min=0.2,
)


def wishful(chance, visits=6):
    """A season by chance in which everything that may be wished for is wished for."""
    problem = made_up(chance, visits=visits)
    crew = [
        replace(w, overtime_max_min=chance.choice([0.0, 30.0, 60.0]), room=chance.choice([None, 3]))
        for w in problem.workdays
    ]
    calls = [
        replace(
            v,
            load=float(chance.choice([0, 1, 2])),
            wished_technician=chance.choice([None, 0, 1, 2]),
            area=chance.choice([None, "north", "south"]),
        )
        for v in problem.visits
    ]
    return replace(
        problem,
        workdays=tuple(crew),
        visits=tuple(calls),
        prices=WISHES,
        area_days={"north": frozenset({1}), "south": frozenset({0})},
        heat_day=0,
    )


@settings(max_examples=40)
@given(st.randoms(use_true_random=False))
def test_with_every_wish_the_rules_are_kept_and_the_total_is_the_sum_of_its_terms(chance):
    problem, seen = wishful(chance), []
    found = plan(problem, MaxIterations(1000), watch=seen.append)
    cost = score(problem, found)
    assert broken_rules(problem, found) == []
    assert cost.total_min == pytest.approx(sum(term.minutes for term in cost.terms))
    assert seen[-1].score >= cost.total_min - A_BIT_MIN


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_the_search_counts_wishes_as_the_score_does(chance):
    whole, seen = wishful(chance), []
    calls = tuple(replace(v, warmth_class=None) for v in whole.visits)
    problem = replace(whole, visits=calls)
    plan(problem, looks(1000, seen))
    for counted, scored in seen:
        assert counted == pytest.approx(scored)


def test_a_wish_without_a_price_is_no_term_of_the_score():
    cost = score(season([visit("A")], [workday()]), Plan((AT_TEN,)))
    assert len(cost.terms) == 5


@pytest.mark.parametrize(("end_min", "paid_min"), [(671.0, 0.0), (669.0, 15.0), (650.0, 30.0)])
def test_overtime_is_paid_by_the_started_quarter_of_an_hour(end_min, paid_min):
    day = workday(end_min=end_min, overtime_max_min=60.0)
    problem = season([visit("A")], [day], prices=Prices(overtime_min=2.0))
    term = score(problem, Plan((AT_TEN,))).term("overtime")
    assert (term.amount, term.unit, term.minutes) == (paid_min, "min", 2.0 * paid_min)


def test_a_visit_is_done_in_overtime_when_leaving_it_out_costs_more():
    late = visit("A", windows=(Window(0, 960.0, 990.0),), unplaced_min=100.0)
    day = workday(overtime_max_min=30.0)
    cheap = season([late], [day], prices=Prices(overtime_min=1.0))
    dear = season([late], [day], prices=Prices(overtime_min=9.0))
    assert plan(cheap, BRIEFLY).slots[0].start_min == 960.0
    assert plan(dear, BRIEFLY) == Plan((None,))


def test_nobody_is_home_later_than_the_overtime_allowed():
    late = visit("A", windows=(Window(0, 980.0, 990.0),), unplaced_min=900.0)
    problem = season([late], [workday(overtime_max_min=15.0)])
    assert plan(problem, BRIEFLY) == Plan((None,))


def test_a_lunch_that_only_fits_in_the_end_counts_for_overtime():
    day = workday(end_min=720.0, overtime_max_min=60.0, lunch=LUNCH)
    problem = season([visit("A", service_min=170.0)], [day], prices=Prices(overtime_min=1.0))
    late = Plan((Slot(0, 0, 605.0),))
    assert score(problem, late).term("overtime").amount == 105.0


def test_a_visit_goes_to_the_technician_who_came_last_year():
    wish = visit("A", wished_technician="Ben")
    crew = [workday(), workday(technician="Ben")]
    problem = season([wish], crew, prices=Prices(other_technician_min=5.0))
    assert plan(problem, BRIEFLY).slots[0].workday == 1
    assert score(problem, Plan((AT_TEN,))).term("other technician").minutes == 5.0


def test_a_visit_goes_on_the_day_of_its_area():
    north = visit("A", area="north")
    days = [workday(day) for day in range(3)]
    wish = {"prices": Prices(off_area_day_min=5.0), "area_days": {"north": frozenset({2})}}
    problem = season([north], days, days=3, **wish)
    assert plan(problem, BRIEFLY).slots[0].workday == 2
    assert score(problem, Plan((AT_TEN,))).term("off area day").minutes == 5.0


def test_a_check_is_done_before_the_heat_and_other_work_after_it():
    check = visit("check", 1, warmth_class=0, service_min=300.0)
    repair = visit("repair", 2, service_min=300.0)
    problem = season(
        [check, repair],
        [workday(0), workday(1)],
        days=2,
        warmth=np.ones((1, 2, 48)),
        prices=Prices(after_heat_min=50.0),
        heat_day=0,
    )
    found = plan(problem, BRIEFLY)
    assert [slot.workday for slot in found.slots] == [0, 1]
    assert score(problem, Plan((None, found.slots[1]))).term("after the heat").minutes == 50.0


def test_a_finished_plan_is_never_less_even_for_a_shorter_day():
    """Found by Hypothesis: the best order of one day alone made the whole plan dearer."""
    for seed in range(30):
        problem, seen = wishful(random.Random(seed)), []
        dear = replace(problem, prices=replace(WISHES, uneven_min=3.0))
        found = plan(dear, looks(500, seen))
        assert score(dear, found).total_min <= seen[-1][1] + A_BIT_MIN


def test_even_days_are_worth_their_price():
    calls = [visit(n, place=1 + n) for n in range(4)]
    crew = [workday(), workday(technician="Ben")]
    free, fair = season(calls, crew), season(calls, crew, prices=Prices(uneven_min=1.0))
    assert {slot.workday for slot in plan(free, BRIEFLY).slots} in ({0}, {1})
    even = plan(fair, BRIEFLY)
    assert [slot.workday for slot in even.slots].count(0) == 2
    assert score(fair, even).term("uneven days").minutes == 0.0


def test_the_truck_holds_no_more_than_its_room():
    calls = [visit(n, place=1 + n, load=2.0) for n in range(4)]
    problem = season(calls, [workday(room=5.0)])
    found = plan(problem, BRIEFLY)
    assert score(problem, found).placed == 2
    full = Plan(tuple(Slot(n, 0, 550.0 + 70 * n) for n in range(4)))
    assert broken_rules(problem, full) == ["Workday Ana/0: the truck holds 5.0, not 8.0."]


def test_two_technicians_come_at_the_same_time():
    calls = [visit("lift", 1), visit("hold", 1), visit("alone", 2)]
    crew = [workday(), workday(technician="Ben")]
    problem = season(calls, crew, together=((0, 1),))
    lift, hold, alone = plan(problem, BRIEFLY).slots
    assert lift.start_min == hold.start_min
    assert lift.workday != hold.workday
    assert alone is not None


def test_one_technician_alone_does_not_start_what_takes_two():
    problem = season([visit("lift"), visit("hold")], [workday()], together=((0, 1),))
    assert plan(problem, BRIEFLY) == Plan((None, None))
    alone = Plan((AT_TEN, None))
    words = "Visits lift and hold need two technicians at the same time."
    assert broken_rules(problem, alone) == [words]


def test_a_pair_that_is_promised_stays_where_it_is():
    at_noon = [KeptSlot(w, NOON) for w in range(2)]
    pair = [visit(n, 1, kept=at_noon[n], fixed=True) for n in range(2)]
    crew = [workday(), workday(technician="Ben")]
    found = plan(season(pair, crew, together=((0, 1),)), BRIEFLY)
    assert [slot.start_min for slot in found.slots] == [NOON, NOON]


def test_the_technician_starts_and_ends_at_home():
    day = workday(start_place=1, end_place=1)
    problem = season([visit("A", place=1)], [day])
    assert plan(problem, BRIEFLY) == Plan((Slot(0, 0, NINE),))


@pytest.mark.parametrize("seed", range(3))
def test_wishes_of_a_season_by_chance_all_show_in_the_score(seed):
    problem = wishful(random.Random(seed))
    names = {term.name for term in score(problem, plan(problem, BRIEFLY)).terms}
    assert names >= {
        "overtime", "other technician", "off area day", "after the heat", "uneven days",
    }  # fmt: skip


def test_a_day_without_visits_is_no_drive_although_its_ends_lie_apart():
    seen, days = [], [workday(day, end_place=1) for day in range(2)]
    problem = season([visit("A", place=2)], days, days=2)
    found = plan(problem, BRIEFLY, watch=seen.append)
    assert score(problem, found).travel_min == seen[-1].score == 20.0
