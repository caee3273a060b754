"""Two people at once. Run by test_on_postgresql.py: SQLite has one writer at a time anyway."""

import datetime as dt
import threading

import pytest
from django.db import connection, connections

from letters.models import Letter
from scheduling.actions.repairs import RepairRefused, agree_step
from scheduling.actions.runs import RunRefused, ask_for_run, claim_run
from scheduling.actions.slots import SlotTaken
from scheduling.actions.visits import promise_visit
from scheduling.actions.watch import propose_repairs
from scheduling.models import Repair, RepairStep, SeasonRun, State, Visit
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import COLD_F, foretold

pytestmark = pytest.mark.django_db(transaction=True)
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


def at_once(*acts):
    """Run the acts at the same moment, each on a connection of its own; their results."""
    gate, results = threading.Barrier(len(acts)), [None] * len(acts)

    def run(number, act):
        gate.wait()
        try:
            results[number] = act()
        except (SlotTaken, RunRefused, RepairRefused) as refusal:
            results[number] = refusal
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def test_these_tests_run_on_postgresql():
    assert connection.vendor == "postgresql"


def test_two_offices_that_promise_overlapping_slots_cannot_both_have_them():
    season, ingrid = spring.season(), spring.technician()
    visits = [spring.owed(season) for _ in range(6)]
    results = at_once(
        *[
            lambda visit=visit, minute=5 * n: promise_visit(
                visit=visit,
                technician=ingrid,
                starts_at=spring.at(spring.MONDAY, 13, minute),
                minutes=60,
                now=spring.at(spring.MONDAY, 7),
            )
            for n, visit in enumerate(visits)
        ]
    )
    assert sum(isinstance(result, SlotTaken) for result in results) == 5
    assert Visit.objects.filter(state=State.PROMISED).count() == 1


def test_one_of_two_workers_gets_the_run():
    run = ask_for_run(season=spring.season(), by=None, seconds=1, now=NOW)
    results = at_once(*[lambda: claim_run(run_id=run.pk, now=NOW)] * 4)
    assert sum(result is not None for result in results) == 1


def test_one_of_two_presses_of_the_button_starts_a_run():
    season = spring.season()
    at_once(*[lambda: ask_for_run(season=season, by=None, seconds=1, now=NOW)] * 4)
    assert SeasonRun.objects.count() == 1


FRIDAY_MORNING = spring.at(dt.date(2027, 5, 21), 10)


def cold_tuesday():
    """A season with three promises on a Tuesday that turned cold."""
    season, ingrid = spring.season(), spring.technician()
    tuesday = spring.MONDAY + dt.timedelta(days=1)
    for hour in (8, 10, 12):
        promise_visit(
            visit=spring.owed(season),
            technician=ingrid,
            starts_at=spring.at(tuesday, hour),
            minutes=60,
            now=FRIDAY_MORNING,
        )
    foretold(season.branch, FRIDAY_MORNING - dt.timedelta(hours=1), {tuesday: COLD_F})
    return season


def test_two_watchers_of_one_season_propose_once():
    season = cold_tuesday()
    at_once(*[lambda: propose_repairs(season=season, now=FRIDAY_MORNING)] * 3)
    assert (Repair.objects.count(), RepairStep.objects.proposed().count()) == (1, 3)


def test_of_two_people_who_agree_at_once_one_writes_and_the_other_is_told():
    propose_repairs(season=cold_tuesday(), now=FRIDAY_MORNING)
    step, odile = RepairStep.objects.proposed().first(), cast.odile()
    results = at_once(*[lambda: agree_step(step=step, by=odile, now=FRIDAY_MORNING)] * 4)
    assert sum(isinstance(result, RepairRefused) for result in results) == 3
    assert Letter.objects.filter(kind="promise_moved").count() == 1
