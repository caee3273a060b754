"""How a drive ends: done, cleaned without a test, or missed. Nothing of it is lost."""

import pytest

from letters.models import Letter, LetterState
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import (
    complete_visit,
    leave_test_owed,
    miss_visit,
    pencil_visit,
    promise_visit,
)
from scheduling.models import Outcome, State, Trip, Visit
from scheduling.reading import minutes_of_visit
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOON = spring.at(spring.MONDAY, 12)


def promised() -> Visit:
    return promise_visit(
        visit=spring.owed(spring.season()),
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, 9),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )


def test_a_done_visit_is_no_longer_owed_and_its_trip_is_on_record():
    visit = complete_visit(visit=promised(), now=NOON)
    visit.owed_visit.refresh_from_db()
    assert (visit.state, visit.owed_visit.closed) == (State.DONE, "done")
    assert Trip.objects.get().outcome == Outcome.DONE


def test_a_cold_day_leaves_only_the_test_owed():
    visit = promised()
    trip_at, ingrid = visit.starts_at, visit.technician
    leave_test_owed(visit=visit, now=NOON, why="48 °F outdoors")
    trip = Trip.objects.lost_to_cold().get()
    assert (visit.state, visit.test_only, visit.starts_at) == (State.HELD, True, None)
    assert (trip.technician, trip.starts_at, trip.why) == (ingrid, trip_at, "48 °F outdoors")


def test_the_visit_for_the_test_is_short():
    visit = leave_test_owed(visit=promised(), now=NOON, why="48 °F outdoors")
    assert minutes_of_visit(visit) == visit.season.branch.test_only_min


def test_a_customer_who_saw_the_technician_gets_no_letter_that_takes_the_time_back():
    leave_test_owed(visit=promised(), now=NOON, why="48 °F outdoors")
    assert not Letter.objects.filter(kind="promise_cancelled").exists()
    assert not Letter.objects.exclude(state=LetterState.WITHDRAWN).exists()


def test_after_the_test_the_visit_is_done_like_any_other():
    visit = leave_test_owed(visit=promised(), now=NOON, why="48 °F outdoors")
    promise_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, 15),
        minutes=30,
        now=NOON,
    )
    complete_visit(visit=visit, now=spring.at(spring.MONDAY, 16))
    assert list(Trip.objects.values_list("outcome", "test_only")) == [
        ("cold", False),
        ("done", True),
    ]


def test_the_letter_about_the_short_visit_says_test_only():
    visit = leave_test_owed(visit=promised(), now=NOON, why="48 °F outdoors")
    promise_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, 15),
        minutes=30,
        now=NOON,
    )
    assert Letter.objects.order_by("-pk").first().facts["check"] == "test_only"


def test_a_missed_visit_says_why_and_can_be_placed_again():
    visit = miss_visit(visit=promised(), now=NOON, why="Nobody opened")
    assert (visit.state, visit.why, Trip.objects.get().outcome) == (
        State.MISSED,
        "Nobody opened",
        Outcome.ABSENT,
    )


def test_a_trip_that_was_lost_needs_its_cause():
    with pytest.raises(SlotRefused, match="Say why"):
        miss_visit(visit=promised(), now=NOON, why=" ", outcome=Outcome.LOST)


def test_a_visit_without_a_slot_has_no_trip_to_end():
    with pytest.raises(SlotRefused, match="no technician under way"):
        complete_visit(visit=spring.owed(spring.season()), now=NOON)


def test_of_two_phones_that_end_one_trip_the_second_is_told():
    visit = promised()
    stale = Visit.objects.get(pk=visit.pk)
    complete_visit(visit=visit, now=NOON)
    with pytest.raises((SlotTaken, SlotRefused)):
        complete_visit(visit=stale, now=NOON)
    assert Trip.objects.count() == 1


def test_a_pencilled_visit_can_be_done_too():
    visit = pencil_visit(
        visit=spring.owed(spring.season()),
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, 9),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    assert complete_visit(visit=visit, now=NOON).state == State.DONE
