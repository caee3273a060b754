"""Promised times move only when that was asked for, at a price, with notice and by letter."""

import datetime as dt

import pytest
import time_machine

from kit.when import WeekHalves
from letters.models import Letter
from scheduling import planner
from scheduling.actions.apply import apply_run
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.actions.undo import undo_run
from scheduling.actions.visits import promise_visit
from scheduling.models import State
from scheduling.planning import carry_out
from scheduling.proposal import difference
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import COLD_F, foretold

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)
TUESDAY = spring.MONDAY + dt.timedelta(days=1)


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(2000))
    cast.letterhead()
    with time_machine.travel(NOW, tick=True):
        yield


@pytest.fixture
def cold_promise():
    """A visit promised for a Tuesday that turned far too cold; its customer can come any day."""
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season, halves_mask=WeekHalves.of([(d, 1) for d in range(5)]).mask)
    slot = spring.at(TUESDAY, 13)
    promise_visit(visit=visit, technician=ingrid, starts_at=slot, minutes=60, now=NOW)
    foretold(season.branch, NOW, {TUESDAY: COLD_F})
    return visit


def planned(season, **more):
    run = ask_for_run(season=season, by=None, seconds=1, now=NOW, **more)
    carry_out(run.pk)
    run.refresh_from_db()
    return run


def test_a_plan_leaves_promises_alone_unless_told_otherwise(cold_promise):
    assert difference(planned(cold_promise.season)).promises_moved == 0


def test_a_promise_moves_when_it_saves_more_than_its_price_and_its_customer_is_told(cold_promise):
    old, sequence = cold_promise.starts_at, cold_promise.sequence
    run = planned(cold_promise.season, promises_move=True)
    assert difference(run).promises_moved == 1
    apply_run(run=run, now=NOW)
    cold_promise.refresh_from_db()
    assert cold_promise.state == State.PROMISED
    assert cold_promise.starts_at != old
    assert cold_promise.sequence == sequence + 1
    assert Letter.objects.filter(kind="promise_moved").count() == 1


def test_a_plan_that_moved_a_promise_cannot_be_undone(cold_promise):
    run = planned(cold_promise.season, promises_move=True)
    apply_run(run=run, now=NOW)
    with pytest.raises(RunRefused, match="told of a time since"):
        undo_run(run=run, now=NOW)


def test_at_a_higher_price_than_it_saves_it_stays(cold_promise):
    branch = cold_promise.season.branch
    branch.broken_promise_min = 600
    branch.save()
    assert difference(planned(cold_promise.season, promises_move=True)).promises_moved == 0


def test_a_promise_within_the_notice_stays(cold_promise):
    branch = cold_promise.season.branch
    branch.notice_days = 7
    branch.save()
    assert difference(planned(cold_promise.season, promises_move=True)).promises_moved == 0


def test_the_what_if_weighs_moves_against_gain(cold_promise):
    run = planned(cold_promise.season, change={"what": "promises"})
    as_it_is, priced, free = run.progress["variants"]
    assert [v["promises_broken"] for v in (as_it_is, priced, free)] == [0, 1, 1]
    assert free["cold_trips"] <= priced["cold_trips"] < as_it_is["cold_trips"]
