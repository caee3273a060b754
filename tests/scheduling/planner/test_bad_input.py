"""What cannot be planned is refused in words or left out; never a traceback or an endless run."""

from dataclasses import replace

import numpy as np
import pytest

from scheduling.planner import (
    KeptSlot,
    MaxIterations,
    Plan,
    Prices,
    ProblemRefused,
    Window,
    broken_rules,
    clashes,
    plan,
    why_not,
)
from tests.scheduling.planner.small import season, visit, workday

BRIEFLY = MaxIterations(500)


def test_a_visit_without_any_slot_stays_out_with_the_reason():
    never = visit("A", windows=())
    problem = season([never], [workday()])
    found = plan(problem, BRIEFLY)
    assert found == Plan((None,))
    assert why_not(problem, found, 0).words == "No working day suits the customer."


def test_contradicting_promises_are_named_and_kept():
    promised = [visit(n, n + 1, kept=KeptSlot(0, 600.0), fixed=True) for n in range(2)]
    problem = season(promised, [workday()])
    assert [slot.start_min for slot in plan(problem, BRIEFLY).slots] == [600.0, 600.0]
    assert "is reached" in clashes(problem)[0][0]


@pytest.mark.parametrize("place", [-1, 9])
def test_a_technician_without_a_start_place_is_refused_by_name(place):
    problem = season([visit("A")], [workday(start_place=place)])
    with pytest.raises(ProblemRefused, match="Workday Ana/0: the start: place"):
        plan(problem, BRIEFLY)


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"overtime_max_min": -5.0}, "Workday Ana/0: the overtime allowed"),
        ({"overtime_max_min": 300.0}, "at most 105 are allowed"),
        ({"room": -1.0}, "the room in the truck must be zero or more"),
        ({"end_min": 500.0}, "before it starts"),
    ],
)
def test_a_workday_of_nonsense_is_refused_by_name(facts, words):
    with pytest.raises(ProblemRefused, match=words):
        plan(season([visit("A")], [workday(**facts)]), BRIEFLY)


@pytest.mark.parametrize(
    ("together", "words"),
    [(((0, 0),), "its own partner"), (((0, 7),), "Visit number 7 of a pair does not exist")],
)
def test_a_pair_of_nonsense_is_refused(together, words):
    with pytest.raises(ProblemRefused, match=words):
        plan(season([visit("A")], [workday()], together=together), BRIEFLY)


def test_a_negative_price_is_refused_by_name():
    problem = season([visit("A")], [workday()], prices=Prices(uneven_min=-1.0))
    with pytest.raises(ProblemRefused, match="The price uneven_min must be zero minutes or more"):
        plan(problem, BRIEFLY)


def test_a_load_of_less_than_nothing_is_refused():
    with pytest.raises(ProblemRefused, match="Visit A: its load must be zero or more"):
        plan(season([visit("A", load=-1.0)], [workday()]), BRIEFLY)


def test_two_visits_at_one_home_are_both_done_one_after_the_other():
    problem = season([visit("A", 1), visit("B", 1)], [workday()])
    found = plan(problem, BRIEFLY)
    assert broken_rules(problem, found) == []
    assert abs(found.slots[0].start_min - found.slots[1].start_min) == 60.0


def test_a_season_may_last_four_hundred_days():
    calls = [visit(n, 1 + n, windows=(Window(399 - n, 0.0, 1440.0),)) for n in range(3)]
    problem = season(calls, [workday(day) for day in range(400)], days=400)
    assert [slot.workday for slot in plan(problem, BRIEFLY).slots] == [399, 398, 397]


def test_a_day_too_short_for_any_visit_stays_empty():
    problem = season([visit("A")], [workday(end_min=545.0)])
    assert plan(problem, BRIEFLY) == Plan((None,))


def test_no_visits_and_no_technicians_give_an_empty_plan():
    nothing = replace(season([], []), warmth=np.ones((0, 1, 48)))
    assert plan(nothing, BRIEFLY) == Plan(())
