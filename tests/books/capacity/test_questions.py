"""What if: the planner asked on changed problems, with plans that can be told beforehand."""

import numpy as np
import pytest

from books.capacity.questions import (
    answer,
    plans_needed,
    starting_on,
    warm_in_springs,
    with_more_visits,
    with_technician,
)
from scheduling import planner
from scheduling.planner import KeptSlot
from tests.scheduling.planner import small

A_DAY_HOLDS = 3


def problem(visits=6, days=4, **facts):
    """One technician on each day, visits that need warmth."""
    return small.season(
        [small.visit(n, warmth_class=0, **facts) for n in range(visits)],
        [small.workday(day) for day in range(days)],
        days=days,
        warmth=np.full((1, days, 48), 0.9),
    )


def search(asked):
    """Three visits a workday, in order: what fits is known without a search."""
    slots = iter(
        (workday, 540.0 + 90.0 * n)
        for workday in range(len(asked.workdays))
        for n in range(A_DAY_HOLDS)
    )
    found = (next(slots, None) for _ in asked.visits)
    return planner.Plan(
        tuple(planner.Slot(n, *slot) if slot else None for n, slot in enumerate(found))
    )


def asked(visits, days=4, **more):
    return answer(problem(visits, days), search, **{"guess": 10, "ask_start": True} | more)


def test_twelve_fit_so_six_more_can_be_sold_beside_six():
    found = asked(visits=6)
    assert (found.unplaced, found.more, found.more_is_least) == (0, 6, False)


def test_when_all_that_was_tried_fits_it_says_at_least():
    found = asked(visits=2, days=10, guess=5)
    assert (found.more, found.more_is_least) == (5, True)


def test_nothing_more_is_sold_where_something_found_no_place():
    found = asked(visits=15)
    assert (found.unplaced, found.more) == (3, 0)


def test_one_more_technician_places_what_was_left_and_room_for_more():
    found = asked(visits=15, guess=9)
    assert found.with_one == 3 + 9
    assert found.with_one_is_least


def test_the_last_day_to_begin_leaves_room_for_all():
    assert asked(visits=6).start_day == 2
    assert asked(visits=12).start_day == 0
    assert asked(visits=6, ask_start=False).start_day is None


def test_it_takes_no_more_plans_than_the_progress_bar_has():
    made = []

    def counted(one):
        made.append(one)
        return search(one)

    answer(problem(), counted, guess=200, ask_start=True)
    assert len(made) <= plans_needed(True)


def test_what_is_added_is_at_homes_like_those_owed_and_promised_to_nobody():
    more = with_more_visits(problem(kept=KeptSlot(0, 540.0), fixed=True), 4)
    assert len(more.visits) == 10
    assert not any(visit.kept or visit.fixed for visit in more.visits[6:])
    assert all(visit.warmth_class == 0 for visit in more.visits)


def test_one_more_works_the_days_of_who_works_most():
    more = with_technician(problem(days=3))
    assert [day.day for day in more.workdays] == [0, 1, 2, 0, 1, 2]
    assert len({day.technician for day in more.workdays}) == 2


def test_a_later_start_drops_the_days_before_it_and_all_promises():
    later = starting_on(problem(kept=KeptSlot(0, 540.0), fixed=True), 2)
    assert [day.day for day in later.workdays] == [2, 3]
    assert not any(visit.fixed or visit.kept for visit in later.visits)


def test_a_plan_is_tested_in_as_many_springs_as_its_warmth_says():
    asked_of = problem(visits=12)
    found = warm_in_springs(asked_of, search(asked_of), springs=4000)
    assert found.placed == 12
    by_certainty = dict(found.at_least)
    assert by_certainty[0.5] >= by_certainty[0.8] >= by_certainty[0.95]
    assert by_certainty[0.5] == pytest.approx(12, abs=1)


def test_a_plan_without_a_cooling_check_tests_nothing():
    asked_of = small.season([small.visit(0)], [small.workday()])
    assert warm_in_springs(asked_of, search(asked_of)).placed == 0
