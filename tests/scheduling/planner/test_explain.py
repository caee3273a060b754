"""Why a visit stands where it stands, and what keeps another one out."""

import pytest

from scheduling.planner import (
    NOT_WARM,
    MaxIterations,
    Plan,
    Slot,
    Window,
    explain_all,
    plan,
    why_here,
    why_not,
)
from scheduling.planner.explain import CUSTOMER_DAYS, NO_ROOM, NO_SKILL, NO_WORKDAY
from tests.scheduling.planner.small import season, visit, warm_from, workday

OUT = Plan((None,))


def test_it_tells_warmth_added_drive_and_days_left():
    check = visit("A", warmth_class=0, due_day=3)
    problem = season([check, visit("B", 2)], [workday(1)], days=4, warmth=[[warm_from(600)] * 4])
    reason = why_here(problem, Plan((Slot(0, 0, 600.0), Slot(1, 0, 700.0))), 0)
    assert reason.warmth == pytest.approx(0.9)
    assert reason.travel_added_min == 10.0  # shop, A, B, shop instead of shop, B, shop
    assert reason.days_to_due == 2


def test_a_late_visit_has_less_than_no_days_left():
    problem = season([visit("A", due_day=0)], [workday(2)], days=3)
    assert why_here(problem, Plan((Slot(0, 0, 600.0),)), 0).days_to_due == -2


def test_work_without_warmth_or_due_day_says_nothing_about_them():
    reason = why_here(season([visit("A")], [workday()]), Plan((Slot(0, 0, 600.0),)), 0)
    assert (reason.warmth, reason.days_to_due) == (None, None)


def test_asking_why_here_of_a_visit_left_out_is_refused():
    with pytest.raises(ValueError, match="Visit A has no slot"):
        why_here(season([visit("A")], [workday()]), OUT, 0)


def test_nobody_works_from_its_first_day_on():
    reason = why_not(season([visit("A", due_from_day=1)], [workday(0)], days=2), OUT, 0)
    assert reason.code == NO_WORKDAY
    assert reason.words == "No technician works on any day from its first day on."


def test_nobody_has_the_skill():
    reason = why_not(season([visit("A", skills=frozenset({"gas"}))], [workday()]), OUT, 0)
    assert (reason.code, reason.words) == (
        NO_SKILL,
        "No technician on those days has the skill: gas.",
    )


@pytest.mark.parametrize("windows", [(), (Window(1, 0, 1440),), (Window(0, 0, 500),)])
def test_no_working_day_suits_the_customer(windows):
    reason = why_not(season([visit("A", windows=windows)], [workday(0)], days=2), OUT, 0)
    assert (reason.code, reason.words) == (CUSTOMER_DAYS, "No working day suits the customer.")


def test_a_visit_longer_than_the_day_suits_no_day():
    reason = why_not(season([visit("A", service_min=600.0)], [workday()]), OUT, 0)
    assert reason.code == CUSTOMER_DAYS


def test_no_day_is_warm_enough_and_the_best_one_is_named():
    warmth = [[warm_from(600, warm=0.4), warm_from(600, warm=0.55)]]
    crew = [workday(0), workday(1)]
    problem = season([visit("A", warmth_class=0)], crew, days=2, warmth=warmth, least_warmth=0.6)
    reason = why_not(problem, OUT, 0, day_words=lambda day: f"May {day + 1}")
    assert (reason.code, reason.best_day, reason.best_warmth) == (NOT_WARM, 1, 0.55)
    assert reason.words == (
        "No day that suits is warm enough: the best is May 2 with 55%, and 60% is wanted."
    )


def test_every_day_that_suits_is_full():
    visits = [visit(n, n + 1, service_min=420.0) for n in range(2)]
    problem = season(visits, [workday()])
    found = plan(problem, MaxIterations(500))
    reason = why_not(problem, found, found.slots.index(None))
    assert (reason.code, reason.words) == (
        NO_ROOM,
        "Every day that suits is full; others cost less there.",
    )


def test_explaining_all_says_of_each_visit_what_it_says_of_one():
    visits = [visit(n, n + 1, service_min=300.0, due_day=1) for n in range(4)]
    problem = season(visits, [workday(0), workday(1)], days=2)
    found = plan(problem, MaxIterations(500))
    one_by_one = [
        why_not(problem, found, n) if slot is None else why_here(problem, found, n)
        for n, slot in enumerate(found.slots)
    ]
    assert explain_all(problem, found) == one_by_one
