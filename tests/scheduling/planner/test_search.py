"""The search: as good as trying everything, true to every hard rule, and the same each time."""

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
    ProblemRefused,
    Slot,
    Window,
    broken_rules,
    clashes,
    plan,
    score,
)
from tests.scheduling.planner.small import (
    LUNCH,
    NOON,
    cheapest_total,
    made_up,
    season,
    visit,
    warm_from,
    with_visits,
    workday,
)

BRIEFLY, LONGER = MaxIterations(500), MaxIterations(2000)
KEPT_AT_TEN = KeptSlot(0, 600.0)


@pytest.mark.parametrize("seed", range(12))
def test_no_other_plan_of_a_tiny_season_is_cheaper(seed):
    problem = made_up(random.Random(seed), visits=4, workdays=2)
    found = plan(problem, LONGER, seed=1)
    assert score(problem, found).total_min == pytest.approx(cheapest_total(problem), abs=1e-3)


@pytest.mark.parametrize("seed", range(3))
def test_no_other_plan_of_eight_visits_is_cheaper(seed):
    whole = made_up(random.Random(seed), visits=8, workdays=2)
    long_visits = [replace(v, service_min=75.0) for v in whole.visits]
    short_days = tuple(replace(w, end_min=w.start_min + 240.0) for w in whole.workdays)
    problem = replace(with_visits(whole, *long_visits), workdays=short_days)
    found = plan(problem, LONGER, seed=1)
    assert score(problem, found).total_min == pytest.approx(cheapest_total(problem), abs=1e-3)


@settings(max_examples=40)
@given(st.randoms(use_true_random=False), st.integers(1, 9))
def test_every_plan_keeps_every_hard_rule(chance, visits):
    problem = made_up(chance, visits=visits)
    assert broken_rules(problem, plan(problem, BRIEFLY)) == []


@settings(max_examples=20)
@given(st.randoms(use_true_random=False))
def test_fixed_visits_never_move(chance):
    problem = made_up(chance, visits=6)
    pinned = [replace(v, fixed=v.kept is not None) for v in problem.visits]
    problem = with_visits(problem, *pinned)
    found = plan(problem, BRIEFLY)
    for v, slot in zip(problem.visits, found.slots, strict=True):
        if v.fixed:
            assert (slot.workday, slot.start_min) == (v.kept.workday, v.kept.start_min)
    assert broken_rules(problem, found) == [
        words for day in clashes(problem).values() for words in day
    ]


def test_the_same_seed_and_rounds_give_the_same_plan():
    problem = made_up(random.Random(5), visits=12)
    assert plan(problem, BRIEFLY, seed=3) == plan(problem, BRIEFLY, seed=3)


def test_another_seed_keeps_the_rules_too():
    problem = made_up(random.Random(5), visits=12)
    plans = [plan(problem, BRIEFLY, seed=seed) for seed in range(4)]
    assert [broken_rules(problem, found) for found in plans] == [[], [], [], []]


def test_a_good_plan_is_gone_on_from_not_begun_anew():
    visits = [visit(n, place=1 + n) for n in range(12)]
    problem = season(visits, [workday(day) for day in range(4)], days=4)
    begun = plan(problem, LONGER)
    gone_on = plan(problem, MaxIterations(0), start=begun)
    assert gone_on == begun


def test_a_price_on_moving_keeps_most_slots_when_the_weather_changes():
    visits = [visit(n, place=1 + n, warmth_class=0) for n in range(10)]
    days = [workday(day) for day in range(3)]
    problem = season(visits, days, days=3, warmth=[[warm_from(600)] * 3])
    before = plan(problem, BRIEFLY)
    kept = [
        replace(v, kept=KeptSlot(slot.workday, slot.start_min), move_min=60.0)
        for v, slot in zip(visits, before.slots, strict=True)
    ]
    colder = season(kept, days, days=3, warmth=[[warm_from(600), warm_from(660), warm_from(600)]])
    moved = score(colder, plan(colder, BRIEFLY, start=before)).term("moved").amount
    assert moved <= 2


def test_a_kept_slot_may_stay_although_it_is_colder_than_the_limit():
    check = visit("A", warmth_class=0, kept=KEPT_AT_TEN, move_min=500.0)
    problem = season([check], [workday()], warmth=[[warm_from(660)]], least_warmth=0.5)
    assert plan(problem, BRIEFLY).slots[0].start_min <= 630.0


def test_a_kept_slot_is_left_when_that_saves_more_than_it_costs():
    check = visit("A", warmth_class=0, kept=KEPT_AT_TEN, move_min=5.0)
    problem = season([check], [workday()], warmth=[[warm_from(660)]], least_warmth=0.5)
    found = plan(problem, BRIEFLY)
    assert found.slots[0].start_min == 660.0
    assert score(problem, found).term("moved").amount == 1


def test_a_check_starts_late_in_the_day_because_it_is_warmer_then():
    problem = season([visit("A", warmth_class=0)], [workday()], warmth=[[warm_from(840)]])
    assert plan(problem, BRIEFLY).slots[0].start_min == 840.0


def test_work_without_warmth_fills_the_cold_morning():
    crew, warmth = [workday(end_min=900.0)], [[warm_from(780)]]
    problem = season([visit("check", 1, warmth_class=0), visit("repair", 2)], crew, warmth=warmth)
    check, repair = plan(problem, BRIEFLY).slots
    assert repair.start_min < check.start_min
    assert check.start_min >= 780.0


def test_no_check_is_put_where_it_is_colder_than_the_limit():
    problem = season(
        [visit("A", warmth_class=0)], [workday()], warmth=[[warm_from(1200)]], least_warmth=0.5
    )
    assert plan(problem, BRIEFLY) == Plan((None,))


def test_lunch_is_kept_between_the_visits():
    visits = [visit(n, place=1 + n, service_min=68.0) for n in range(6)]
    problem = season(visits, [workday(lunch=LUNCH)])
    found = plan(problem, BRIEFLY)
    assert broken_rules(problem, found) == []
    without = season(visits, [workday()])
    assert score(problem, found).placed < score(without, plan(without, BRIEFLY)).placed


def test_a_visit_stays_out_when_nobody_has_the_skill():
    problem = season([visit("A", skills=frozenset({"gas"})), visit("B", 2)], [workday()])
    gas, plain = plan(problem, BRIEFLY).slots
    assert gas is None
    assert plain is not None


def test_the_customers_afternoon_is_kept():
    afternoon = visit("A", windows=(Window(0, NOON, 1440.0),))
    problem = season([afternoon], [workday()])
    assert plan(problem, BRIEFLY).slots[0].start_min >= NOON


def test_fixed_visits_that_clash_leave_the_other_days_alone():
    clash = [visit(n, n + 1, kept=KEPT_AT_TEN, fixed=True) for n in range(2)]
    problem = season([*clash, visit("free", 3)], [workday(0), workday(1)], days=2)
    assert list(clashes(problem)) == [0]
    assert plan(problem, BRIEFLY).slots[2].workday == 1


def test_no_visits_give_an_empty_plan():
    assert plan(season([], [workday()]), BRIEFLY) == Plan(())


def test_without_workdays_every_visit_is_left_out_and_told_to_the_watcher():
    seen = []
    problem = season([visit("A", unplaced_min=450.0)], [])
    assert plan(problem, BRIEFLY, watch=seen.append) == Plan((None,))
    assert [(progress.placed, progress.score) for progress in seen] == [(0, 450.0)]


def test_a_season_may_be_one_day_with_one_visit():
    assert plan(season([visit("A")], [workday()]), BRIEFLY) == Plan((Slot(0, 0, 550.0),))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"warmth": [[[np.nan] * 48]]}, "Warmth holds a value that is not a probability"),
        ({"warmth": [[[1.2] * 48]]}, "Warmth holds a value that is not a probability"),
        ({"drive_min": -1.0}, "The travel table holds a time that is negative"),
        ({"drive_min": np.nan}, "The travel table holds a time that is negative"),
        ({"days": 0}, "A season has at least one day, not 0."),
        ({"least_warmth": 2.0}, "The least warmth must lie between 0 and 1"),
    ],
)
def test_a_table_of_nonsense_is_refused_in_words(wrong, words):
    with pytest.raises(ProblemRefused, match=words):
        plan(season([visit("A")], [workday()], **wrong), BRIEFLY)


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"service_min": -1.0}, "Visit Ortiz: the duration must be zero minutes or more"),
        ({"service_min": np.nan}, "Visit Ortiz: the duration must be zero minutes or more"),
        ({"unplaced_min": -1.0}, "Visit Ortiz: the price of leaving it out"),
        ({"move_min": np.inf}, "Visit Ortiz: the price of moving it"),
        ({"warmth_class": 3}, "Visit Ortiz: warmth class 3 is not one of the 0"),
        ({"windows": (Window(7, 0, 1),)}, "Visit Ortiz: a window is on day 7"),
        ({"windows": (Window(0, 9, 1),)}, "a window on day 0 ends before it begins"),
        ({"fixed": True}, "Visit Ortiz is fixed but has no slot"),
        ({"kept": KeptSlot(5, 600.0)}, "Visit Ortiz: its kept workday 5 does not exist"),
    ],
)
def test_a_visit_of_nonsense_is_refused_by_name(facts, words):
    with pytest.raises(ProblemRefused, match=words):
        plan(season([visit("Ortiz", **facts)], [workday()]), BRIEFLY)


def test_a_technician_cannot_be_booked_twice_at_once():
    twice = season([visit("A")], [workday(), workday(start_min=600.0)])
    with pytest.raises(ProblemRefused, match="technician Ana cannot be in two places"):
        plan(twice, BRIEFLY)


def test_a_visit_goes_in_front_of_one_that_keeps_its_slot():
    early = visit("early", 1, unplaced_min=15.0, windows=(Window(0, 540.0, 600.0),))
    kept = visit(
        "kept",
        2,
        kept=KeptSlot(0, 800.0),
        move_min=25.0,
        windows=(Window(0, 770.0, 830.0),),
    )
    problem = season([early, kept], [workday()])
    assert score(problem, plan(problem, MaxIterations(5000), seed=1)).total_min == 30.0
