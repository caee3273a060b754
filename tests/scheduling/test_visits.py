"""One visit at a time: slots, holds, and two people at once."""

import pytest

from agreements.models import VisitKind
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import (
    hold_visit,
    pencil_visit,
    promise_visit,
    unplace_visit,
    waive_visit,
)
from scheduling.models import State, Visit
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
MONDAY = spring.MONDAY


def test_it_pencils_a_visit_into_a_slot():
    visit = spring.owed(spring.season())
    pencil_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(MONDAY, 13),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    assert (visit.state, visit.ends_at) == (State.PENCILLED, spring.at(MONDAY, 14))


def test_it_refuses_a_slot_that_overlaps_another():
    season, ingrid = spring.season(), spring.technician()
    promise_visit(
        visit=spring.owed(season),
        technician=ingrid,
        starts_at=spring.at(MONDAY, 13),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    with pytest.raises(SlotTaken, match="Ingrid Solberg already has a visit at 1:00 PM"):
        pencil_visit(
            visit=spring.owed(season),
            technician=ingrid,
            starts_at=spring.at(MONDAY, 13, 30),
            minutes=60,
            now=spring.at(spring.MONDAY, 7),
        )


def test_visits_may_follow_each_other_without_a_gap():
    season, ingrid = spring.season(), spring.technician()
    for hour in (13, 14):
        pencil_visit(
            visit=spring.owed(season),
            technician=ingrid,
            starts_at=spring.at(MONDAY, hour),
            minutes=60,
            now=spring.at(spring.MONDAY, 7),
        )
    assert Visit.objects.placed().count() == 2


def test_the_second_of_two_people_who_change_one_visit_is_told():
    visit = spring.owed(spring.season())
    stale = Visit.objects.get(pk=visit.pk)
    hold_visit(visit=visit, why="Too cold", release="A warm day", now=spring.at(MONDAY, 8))
    with pytest.raises(SlotTaken, match="changed this visit meanwhile"):
        pencil_visit(
            visit=stale,
            technician=spring.technician(),
            starts_at=spring.at(MONDAY, 13),
            minutes=60,
            now=spring.at(spring.MONDAY, 7),
        )


def test_a_held_visit_says_since_when_why_and_what_releases_it():
    visit = spring.owed(spring.season())
    now = spring.at(MONDAY, 8)
    hold_visit(visit=visit, why="Too cold all week", release="A day over 55 °F", now=now)
    assert (visit.state, visit.held_since, visit.why, visit.release) == (
        State.HELD,
        now,
        "Too cold all week",
        "A day over 55 °F",
    )


def test_work_that_needs_no_warmth_is_not_held():
    visit = spring.owed(spring.season())
    visit.owed_visit.kind = VisitKind.HEATING
    with pytest.raises(SlotRefused, match="Only a cooling check waits for warmth"):
        hold_visit(visit=visit, why="x", release="y", now=spring.at(MONDAY, 8))


def test_taking_a_visit_out_of_its_slot_makes_it_owed_again():
    visit = spring.owed(spring.season())
    pencil_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(MONDAY, 13),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    unplace_visit(visit=visit, now=spring.at(MONDAY, 7))
    assert (visit.state, visit.technician, visit.starts_at) == (State.OWED, None, None)


def test_a_waived_visit_is_no_longer_owed_by_its_agreement():
    visit = spring.owed(spring.season())
    waive_visit(visit=visit, why="House is being sold", now=spring.at(MONDAY, 7))
    visit.owed_visit.refresh_from_db()
    assert (visit.state, visit.owed_visit.closed) == (State.WAIVED, "waived")
