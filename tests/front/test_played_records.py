"""A played technician's phone: the same verbs, readings that judge, and a trip that ends."""

import datetime as dt
from random import Random

import pytest

from customers.places import PARKING_MIN
from fieldwork.models import Record
from front.played_drives import PlayedDrives
from front.played_records import play_record
from scheduling.actions.visits import promise_visit
from scheduling.models import State, Trip, Visit
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db


def promised():
    cast.letterhead()
    starts_at = spring.at(spring.MONDAY, 13)
    visit = promise_visit(
        visit=spring.owed(spring.season()), technician=spring.technician(), starts_at=starts_at,
        minutes=60, now=starts_at - dt.timedelta(days=3),
    )  # fmt: skip
    return Visit.objects.with_home().select_related("season__branch").get(pk=visit.pk)


@pytest.mark.parametrize("seed", range(4))
def test_a_warm_day_is_tested_judged_and_timed(seed):
    visit = promised()
    play_record(visit, 78.0, Random(seed), cold=False, drive_min=14)
    record = Record.objects.get(visit=visit)
    (judged,) = record.judgement.values()
    assert (record.outcome, judged["test"]) == ("done", "warm")
    assert record.arrived_at - record.on_the_way_at == dt.timedelta(minutes=14)
    assert record.arrived_at < record.left_at
    visit.refresh_from_db()
    assert visit.state == State.DONE


def test_on_a_cold_day_the_test_stays_owed_and_the_trip_is_lost_to_cold():
    visit = promised()
    play_record(visit, 48.0, Random(1), cold=True, drive_min=14)
    visit.refresh_from_db()
    assert (visit.state, visit.test_only) == (State.HELD, True)
    assert Trip.objects.lost_to_cold().count() == 1


def test_a_played_drive_begins_where_the_last_one_ended():
    visit = promised()
    drives = PlayedDrives(seed=1)
    assert drives.minutes_to(visit) > PARKING_MIN
    assert drives.minutes_to(visit) == PARKING_MIN
