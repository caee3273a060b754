"""More work than hours: minutes are dear while the search goes on, and the plan is still true."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduling.planner import AnyOf, KeptSlot, MaxIterations, broken_rules, plan, score
from scheduling.planner.crowd import (
    EXAGGERATED,
    LEAST_LEFT,
    MOST_WORTH,
    exaggerated,
    minute_worth,
    with_dear_minutes,
)
from scheduling.planner.start import starting_state
from scheduling.planner.tables import tables_of
from tests.scheduling.planner.small import looks, made_up, season, visit, with_visits, workday


def worth_at_the_start(problem):
    tables = tables_of(problem)
    return minute_worth(tables, starting_state(tables, problem, None, 0))


def crowded(unplaced_min=600.0):
    """Twenty hours of work for two days of eight."""
    visits = [visit(n, place=1 + n, unplaced_min=unplaced_min) for n in range(20)]
    return season(visits, [workday(day) for day in range(2)], days=2)


def test_a_minute_is_worth_itself_where_everything_has_its_place():
    assert worth_at_the_start(season([visit("A")], [workday()])) == 1.0


def test_a_minute_is_worth_its_part_of_a_visit_where_hours_are_short():
    # Twelve visits of 60 minutes are placed, with 14 drives of 10 minutes.
    assert worth_at_the_start(crowded()) == pytest.approx(1 + 600 / (60 + 140 / 12))


def test_no_visit_makes_a_minute_so_dear_that_warmth_counts_for_nothing():
    assert worth_at_the_start(crowded(unplaced_min=1e6)) == MOST_WORTH


def test_a_visit_left_out_beside_free_hours_makes_no_minute_dearer():
    far = replace(visit("far", place=1), unplaced_min=5.0)
    assert worth_at_the_start(season([far], [workday()])) == 1.0


def test_dear_minutes_divide_every_price_but_that_of_driving():
    tables = tables_of(crowded())
    dear = with_dear_minutes(tables, 4.0)
    assert dear.unplaced.tolist() == [150.0] * 20
    assert (dear.travel == tables.travel).all()
    assert dear.late_day == tables.late_day / 4.0


def test_the_worth_of_a_minute_is_exaggerated_at_first_and_true_in_the_end():
    assert exaggerated(9.0, 0.0) == 1 + 8 * EXAGGERATED
    assert exaggerated(9.0, 1.0) == pytest.approx(9.0)
    assert exaggerated(1.0, 0.3) == 1.0


def test_of_visits_that_cost_the_same_to_leave_out_the_longer_seems_cheaper():
    short, long, day_long = (
        replace(visit(minutes, place=1), service_min=minutes, unplaced_min=400.0)
        for minutes in (60.0, 120.0, 900.0)
    )
    dear = with_dear_minutes(tables_of(season([short, long, day_long], [workday()])), 4.0)
    # The mean of 60, 120 and 900 is 360; a quarter of the difference counts.
    assert dear.unplaced.tolist() == [100.0 + 75.0, 100.0 + 60.0, LEAST_LEFT * 100.0]


def test_the_longer_visits_are_left_out_where_all_cost_the_same():
    # A day of eight hours has room for six visits and their drives only if five are short.
    whole = crowded()
    mixed = [replace(v, service_min=60.0 + 30.0 * (n % 2)) for n, v in enumerate(whole.visits)]
    found = plan(with_visits(whole, *mixed), MaxIterations(20_000))
    assert score(whole, found).placed == 12
    assert None not in found.slots[::2]


@settings(max_examples=20)
@given(st.integers(0, 10_000))
def test_what_a_crowded_search_reports_is_the_price_of_its_plan_and_only_falls(seed):
    whole = made_up(Random(seed), visits=12, workdays=2)
    longer = [replace(v, service_min=120.0, kept=None) for v in whole.visits]
    problem = with_visits(whole, *longer)
    seen = []
    found = plan(problem, looks(25_000, seen), seed=1)
    assert broken_rules(problem, found) == []
    totals = [total for _, total in seen]
    assert totals == sorted(totals, reverse=True)
    assert score(problem, found).total_min <= totals[-1]


def test_a_crowded_search_that_is_stopped_while_minutes_are_dear_gives_a_full_plan():
    problem = crowded()
    stopped = AnyOf(MaxIterations(100_000), lambda progress: progress.iterations >= 10_000)
    assert score(problem, plan(problem, stopped)).placed == 12


def test_a_promise_stands_although_hours_are_short():
    kept = visit("kept", place=21, kept=KeptSlot(0, 540.0), move_min=30.0)
    whole = crowded()
    problem = season([*whole.visits, kept], whole.workdays, days=2)
    found = plan(problem, MaxIterations(5_000))
    assert score(problem, found).term("moved").amount == 0
