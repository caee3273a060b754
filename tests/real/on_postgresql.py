"""Two people at once. Run by test_on_postgresql.py: SQLite has one writer at a time anyway."""

import datetime as dt
import threading

import pytest
from django.db import connection, connections

from letters.models import Letter
from scheduling.actions.apply import apply_run
from scheduling.actions.repairs import RepairRefused, agree_step
from scheduling.actions.runs import RunRefused, ask_for_run, claim_run
from scheduling.actions.slots import SlotTaken
from scheduling.actions.undo import undo_run
from scheduling.actions.visits import promise_visit
from scheduling.actions.watch import propose_repairs
from scheduling.models import Repair, RepairStep, RunState, SeasonRun, State, Visit
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


def ready_plan(season, seed: int) -> SeasonRun:
    """A plan that puts the season's visits after each other on Monday, ready to look at."""
    nine = spring.at(spring.MONDAY, 9)
    hour = dt.timedelta(hours=1)
    placings, versions = [], {}
    for number, visit in enumerate(Visit.objects.order_by("pk")):
        start = nine + number * hour
        slot = [start.isoformat(), (start + hour).isoformat()]
        placings.append([visit.pk, cast.ingrid().pk, *slot, 0.9, 5.0])
        versions[str(visit.pk)] = visit.version
    return SeasonRun.objects.create(
        season=season, asked_at=NOW, heard_at=NOW, seed=seed, state=RunState.READY,
        best={"placings": placings, "leavings": []}, versions=versions,
    )  # fmt: skip


def test_two_offices_that_apply_two_plans_at_once_do_not_both_get_theirs():
    season, _ = spring.season(), spring.technician()
    for _ in range(4):
        spring.owed(season)
    runs = [ready_plan(season, seed) for seed in (1, 2)]
    results = at_once(*[lambda run=run: apply_run(run=run, now=NOW) for run in runs])
    assert sorted(map(str, results))[0] == "4"
    assert "4 visits have changed since this plan was made" in sorted(map(str, results))[1]
    assert SeasonRun.objects.filter(state=RunState.APPLIED).count() == 1


def test_of_two_people_who_apply_one_plan_one_is_told_who_was_first():
    season, _ = spring.season(), spring.technician()
    spring.owed(season)
    run, odile = ready_plan(season, 1), cast.odile()
    results = at_once(*[lambda: apply_run(run=run, now=NOW, by=odile)] * 3)
    refusals = [str(result) for result in results if isinstance(result, RunRefused)]
    assert refusals == ["Odile Marsh has put this plan into the season already."] * 2


def test_a_promise_and_an_undo_at_once_leave_the_promise_or_refuse_it():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    run = ready_plan(season, 1)
    apply_run(run=run, now=NOW)
    visit.refresh_from_db()
    slot = visit.starts_at
    undone, promised = at_once(
        lambda: undo_run(run=run, now=NOW),
        lambda: promise_visit(visit=visit, technician=ingrid, starts_at=slot, minutes=60, now=NOW),
    )
    visit.refresh_from_db()
    assert isinstance(undone, RunRefused) != isinstance(promised, SlotTaken)
    assert visit.state == (State.PROMISED if isinstance(undone, RunRefused) else State.OWED)


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
