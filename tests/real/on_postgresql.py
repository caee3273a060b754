"""Two people at once. Run by test_on_postgresql.py: SQLite has one writer at a time anyway."""

import datetime as dt
import threading

import pytest
from django.db import connection, connections

from scheduling.actions.runs import RunRefused, ask_for_run, claim_run
from scheduling.actions.slots import SlotTaken
from scheduling.actions.visits import promise_visit
from scheduling.models import SeasonRun, State, Visit
from tests.scheduling import spring

pytestmark = pytest.mark.django_db(transaction=True)
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


def at_once(*acts):
    """Run the acts at the same moment, each on a connection of its own; their results."""
    gate, results = threading.Barrier(len(acts)), [None] * len(acts)

    def run(number, act):
        gate.wait()
        try:
            results[number] = act()
        except (SlotTaken, RunRefused) as refusal:
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
