"""An applied plan is taken out of the season again, as long as nobody was told."""

import datetime as dt

import pytest
import time_machine

from scheduling import planner
from scheduling.actions.apply import apply_run
from scheduling.actions.offers import offer_visits
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.actions.undo import undo_run
from scheduling.actions.visits import hold_visit, pencil_visit, promise_visit, unplace_visit
from scheduling.models import RunState, SeasonRun, State, Visit
from scheduling.planning import carry_out
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)
COLUMNS = ("state", "technician", "starts_at", "ends_at", "warmth", "why", "held_since")


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(1000))
    with time_machine.travel(NOW, tick=True):
        yield


def planned(season) -> SeasonRun:
    run = ask_for_run(season=season, by=None, seconds=1, now=NOW)
    carry_out(run.pk)
    run.refresh_from_db()
    return run


def applied(season) -> SeasonRun:
    run = planned(season)
    apply_run(run=run, now=NOW, by=cast.odile())
    run.refresh_from_db()
    return run


def standing():
    return list(Visit.objects.order_by("pk").values_list(*COLUMNS))


@pytest.fixture
def season():
    """Two visits owed, one held, one pencilled by hand."""
    made, ingrid = spring.season(), spring.technician()
    visits = [spring.owed(made) for _ in range(4)]
    hold_visit(visit=visits[2], why="Too early", release="May", now=NOW)
    nine = spring.at(spring.MONDAY, 9)
    pencil_visit(visit=visits[3], technician=ingrid, starts_at=nine, minutes=60, now=NOW)
    return made


def test_every_visit_stands_again_where_it_stood(season):
    before = standing()
    run = applied(season)
    assert standing() != before
    assert undo_run(run=run, now=NOW) >= 3
    assert standing() == before


def test_a_plan_that_was_undone_says_so_and_is_not_undone_twice(season):
    run = applied(season)
    undo_run(run=run, now=NOW)
    run.refresh_from_db()
    assert run.state == RunState.UNDONE
    with pytest.raises(RunRefused, match="nothing to undo"):
        undo_run(run=run, now=NOW)


def test_a_promise_made_since_keeps_the_plan(season):
    run = applied(season)
    visit = Visit.objects.filter(state=State.PENCILLED).first()
    promise_visit(
        visit=visit, technician=visit.technician, starts_at=visit.starts_at, minutes=60, now=NOW
    )
    before = standing()
    with pytest.raises(RunRefused, match=f"{visit.owed_visit.home.customer} were told of a time"):
        undo_run(run=run, now=NOW)
    run.refresh_from_db()
    assert (run.state, standing()) == (RunState.APPLIED, before)


def test_a_letter_sent_since_keeps_the_plan_even_when_its_time_was_taken_back(season):
    cast.letterhead()
    run = applied(season)
    offer_visits(visits=Visit.objects.filter(state=State.PENCILLED), now=NOW)
    for visit in Visit.objects.filter(state=State.OFFERED):
        unplace_visit(visit=visit, now=NOW)
    with pytest.raises(RunRefused, match="were told of a time since"):
        undo_run(run=run, now=NOW)


def test_a_visit_changed_by_hand_since_keeps_the_plan(season):
    run = applied(season)
    unplace_visit(visit=Visit.objects.filter(state=State.PENCILLED).first(), now=NOW)
    with pytest.raises(RunRefused, match="1 visit has changed since this plan was applied"):
        undo_run(run=run, now=NOW)


def test_the_newer_plan_is_undone_first(season):
    first = applied(season)
    spring.owed(season)
    second = planned(season)
    apply_run(run=second, now=NOW + dt.timedelta(minutes=1))
    with pytest.raises(RunRefused, match="undo that one first"):
        undo_run(run=first, now=NOW)
    second.refresh_from_db()
    undo_run(run=second, now=NOW)


def test_somebody_put_in_a_freed_time_is_not_pushed_out(season):
    before = Visit.objects.get(state=State.PENCILLED)
    slot = before.technician, before.starts_at
    run = planned(season)
    moved = [row for row in run.best["placings"] if row[0] != before.pk]
    run.best = run.best | {"placings": moved, "leavings": [[before.pk, "owed", "Full.", ""]]}
    apply_run(run=run, now=NOW)
    Visit.objects.filter(technician=slot[0], state=State.PENCILLED).update(
        state=State.OWED, technician=None, starts_at=None, ends_at=None
    )
    new = spring.owed(season)
    pencil_visit(visit=new, technician=slot[0], starts_at=slot[1], minutes=60, now=NOW)
    with pytest.raises(RunRefused, match="has another visit now"):
        undo_run(run=run, now=NOW)


def test_whoever_comes_second_is_told_who_was_first(season):
    run = applied(season)
    with pytest.raises(RunRefused, match="Odile Marsh has put this plan into the season already"):
        apply_run(run=run, now=NOW)
