"""Free times between slots that stay: each can be had, and no half day has a cheaper one."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import (
    MaxIterations,
    Plan,
    Slot,
    TakenSlot,
    Window,
    broken_rules,
    openings,
    plan,
    score,
)
from tests.scheduling.planner.small import (
    LUNCH,
    NOON,
    made_up,
    season,
    visit,
    warm_from,
    with_visits,
    workday,
)


def ask(problem, wanted, found=None):
    """Openings for `wanted` beside the slots of a plan of the problem's visits."""
    routes = (found or Plan((None,) * len(problem.visits))).by_workday()
    stops = {
        day: [_taken(problem.visits[slot.visit], slot) for slot in slots]
        for day, slots in routes.items()
    }
    return openings(problem, wanted, stops, problem.drive_min)


def _taken(stays, slot):
    return TakenSlot(slot.start_min, slot.start_min + stays.service_min, stays.place)


def book(problem, found, wanted, opening):
    """The problem and plan with the opening taken."""
    slot = Slot(len(problem.visits), opening.workday, opening.start_min)
    return with_visits(problem, *problem.visits, wanted), Plan((*found.slots, slot))


def half_days(offered):
    return [(opening.workday, opening.start_min >= NOON) for opening in offered]


@st.composite
def half_filled_seasons(draw):
    """A small season, a plan of all but its last visit, and that visit."""
    whole = made_up(draw(st.randoms(use_true_random=False)), visits=6)
    *others, wanted = (replace(v, kept=None) for v in whole.visits)
    filled = with_visits(whole, *others)
    return filled, plan(filled, MaxIterations(0)), wanted


@settings(max_examples=25)
@given(half_filled_seasons())
def test_whichever_opening_is_taken_every_hard_rule_is_kept(given):
    problem, found, wanted = given
    for opening in ask(problem, wanted, found):
        assert broken_rules(*book(problem, found, wanted, opening)) == []


@settings(max_examples=25)
@given(half_filled_seasons())
def test_an_opening_costs_what_the_plan_then_costs_more(given):
    problem, found, wanted = given
    before = score(problem, found).total_min
    for opening in ask(problem, wanted, found):
        after = score(*book(problem, found, wanted, opening)).total_min
        assert after - before == pytest.approx(opening.cost_min, abs=1e-3)


@settings(max_examples=25)
@given(half_filled_seasons())
def test_each_half_day_has_the_best_of_all_quarters_of_an_hour(given):
    problem, found, wanted = given
    offered = {
        (problem.workdays[o.workday].day, o.start_min >= NOON): o.cost_min
        for o in ask(problem, wanted, found)
    }
    assert offered == pytest.approx(_best_by_trying_all(problem, found, wanted), abs=1e-3)


def _best_by_trying_all(problem, found, wanted):
    before, best = score(problem, found).total_min, {}
    for number, workday_ in enumerate(problem.workdays):
        for start_min in range(0, 1440, 15):
            slot = Slot(len(problem.visits), number, float(start_min))
            booked = with_visits(problem, *problem.visits, wanted), Plan((*found.slots, slot))
            if not broken_rules(*booked):
                half = workday_.day, start_min >= NOON
                cost = score(*booked).total_min - before
                best[half] = min(best.get(half, cost), cost)
    return best


def test_an_empty_day_offers_its_morning_and_its_afternoon():
    problem = season([], [workday()])
    offered = ask(problem, visit("A", place=0))
    assert half_days(offered) == [(0, False), (0, True)]


def test_an_opening_never_overlaps_a_slot_that_stays():
    problem = season([visit("A", 1, service_min=400.0)], [workday()])
    offered = ask(problem, visit("B", 1), Plan((Slot(0, 0, 550.0),)))
    assert [opening.start_min for opening in offered] == []


def test_the_warmest_time_comes_first_when_the_drive_is_the_same():
    problem = season(
        [], [workday(0), workday(1)], days=2, warmth=[[warm_from(1440), warm_from(660)]]
    )
    first = ask(problem, visit("A", place=0, warmth_class=0))[0]
    assert (first.workday, first.start_min, first.warmth) == (1, 660.0, 0.9)


def test_the_customers_days_are_kept():
    problem = season([], [workday(day) for day in range(3)], days=3)
    offered = ask(problem, visit("A", place=0, windows=(Window(1, NOON, 1440.0),)))
    assert half_days(offered) == [(1, True)]


def test_a_customer_without_wishes_is_offered_every_day():
    problem = season([], [workday(day) for day in range(3)], days=3)
    assert len(ask(problem, visit("A", place=0))) == 6


def test_lunch_is_not_given_away():
    wanted = visit("A", place=0, windows=(Window(0, 690.0, 690.0),), service_min=95.0)
    assert ask(season([], [workday(lunch=None)]), wanted)
    assert not ask(season([], [workday(lunch=LUNCH, start_min=690.0)]), wanted)


def test_who_lacks_the_skill_is_not_asked():
    problem = season([], [workday()])
    assert ask(problem, visit("A", place=0, skills=frozenset({"gas"}))) == []
