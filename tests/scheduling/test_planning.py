"""A season run from the press of the button to the applied plan."""

import datetime as dt

import pytest
import time_machine

from agreements.models import VisitKind
from customers.models import Home, Precision
from kit.when import WeekHalves
from scheduling import planner
from scheduling.actions.apply import apply_run
from scheduling.actions.runs import (
    RunRefused,
    ask_for_run,
    cancel_run,
    claim_run,
    report_progress,
    rescue_runs,
)
from scheduling.actions.visits import promise_visit
from scheduling.models import RunState, SeasonRun, State, Visit
from scheduling.planning import carry_out
from scheduling.proposal import difference
from tests.scheduling import spring

pytestmark = [pytest.mark.django_db]
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    """On a day in May; a search counts its rounds, so that it is short and always the same."""
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(1000))
    with time_machine.travel(NOW, tick=True):
        yield


def planned(season) -> SeasonRun:
    """A run of one second, carried out."""
    run = ask_for_run(season=season, by=None, seconds=1, now=NOW)
    carry_out(run.pk)
    run.refresh_from_db()
    return run


def test_a_plan_changes_nothing_until_it_is_applied():
    season, _ = spring.season(), spring.technician()
    visit = spring.owed(season)
    run = planned(season)
    visit.refresh_from_db()
    assert (run.state, visit.state) == (RunState.READY, State.OWED)


def test_applying_pencils_the_visits_with_their_reasons():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.technician) == (State.PENCILLED, ingrid)
    assert visit.warmth >= season.branch.least_warmth
    assert visit.travel_added_min is not None


def test_the_difference_says_what_would_change():
    season, _ = spring.season(), spring.technician()
    spring.owed(season)
    found = difference(planned(season))
    assert (len(found.placed), len(found.moved), len(found.held), found.same) == (1, 0, 0, 0)


def test_planning_again_leaves_what_stands():
    season, _ = spring.season(), spring.technician()
    for _ in range(4):
        spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    found = difference(planned(season))
    assert (len(found.placed), len(found.taken_out)) == (0, 0)


def test_a_promised_visit_is_not_moved():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    slot = spring.at(spring.MONDAY, 9)
    promise_visit(
        visit=visit, technician=ingrid, starts_at=slot, minutes=60, now=spring.at(spring.MONDAY, 7)
    )
    spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.PROMISED, slot)


def test_a_visit_promised_for_today_is_no_plans_business():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    slot = NOW + dt.timedelta(hours=2)
    promise_visit(visit=visit, technician=ingrid, starts_at=slot, minutes=60, now=NOW)
    spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.PROMISED, slot)


def test_it_holds_the_check_when_no_day_is_warm_enough():
    season = spring.season(starts_on=dt.date(2027, 5, 24), ends_on=dt.date(2027, 5, 28))
    season.branch.test_temperature_f = 75
    season.branch.save()
    spring.technician()
    visit = spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert visit.state == State.HELD
    assert "warm" in visit.why
    assert visit.release


def test_a_heating_check_needs_no_warmth():
    season, _ = spring.season(), spring.technician()
    season.branch.test_temperature_f = 75
    season.branch.save()
    visit = spring.owed(season)
    visit.owed_visit.kind = VisitKind.HEATING
    visit.owed_visit.save()
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert (visit.state, visit.warmth) == (State.PENCILLED, None)


def test_it_keeps_to_the_customers_half_days():
    season, _ = spring.season(), spring.technician()
    friday_afternoon = WeekHalves.of([(4, 1)])
    visit = spring.owed(season, halves_mask=friday_afternoon.mask)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    local = visit.starts_at.astimezone(spring.CHICAGO)
    assert (local.weekday(), local.hour >= 12) == (4, True)


def test_a_visit_that_nobody_has_the_skill_for_says_so():
    season, ingrid = spring.season(), spring.technician()
    ingrid.skills = ["heating"]
    ingrid.save()
    visit = spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert visit.state == State.OWED
    assert "skill" in visit.why


def test_a_season_without_technicians_says_so_and_changes_nothing():
    season = spring.season()
    visit = spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    visit.refresh_from_db()
    assert visit.state == State.OWED
    assert "technician" in visit.why


def test_a_branch_without_a_climate_is_told_what_is_missing():
    season, _ = spring.season(), spring.technician()
    season.branch.climate.delete()
    spring.owed(season)
    run = planned(season)
    assert run.state == RunState.FAILED
    assert "has no climate yet" in run.trouble


def test_a_home_without_a_place_is_left_out_not_a_breakdown():
    season, _ = spring.season(), spring.technician()
    spring.owed(season)
    Home.objects.update(latitude=None, longitude=None, precision=Precision.UNKNOWN)
    assert planned(season).state == RunState.READY


def test_a_plan_made_from_older_facts_is_refused():
    season, ingrid = spring.season(), spring.technician()
    visit = spring.owed(season)
    run = planned(season)
    promise_visit(
        visit=visit,
        technician=ingrid,
        starts_at=spring.at(spring.MONDAY, 9),
        minutes=60,
        now=spring.at(spring.MONDAY, 7),
    )
    with pytest.raises(RunRefused, match="1 visit has changed since this plan was made"):
        apply_run(run=run, now=NOW)
    run.refresh_from_db()
    assert run.state == RunState.READY


def test_a_plan_is_applied_once():
    season, _ = spring.season(), spring.technician()
    spring.owed(season)
    run = planned(season)
    apply_run(run=run, now=NOW)
    with pytest.raises(RunRefused, match="applied or discarded already"):
        apply_run(run=run, now=NOW)


def test_two_visits_may_trade_places_in_one_plan():
    season, _ingrid = spring.season(), spring.technician()
    first, second = spring.owed(season), spring.owed(season)
    apply_run(run=planned(season), now=NOW)
    run = planned(season)
    slots = {row[0]: row[1:] for row in run.best["placings"]}
    slots[first.pk], slots[second.pk] = slots[second.pk], slots[first.pk]
    run.best["placings"] = [[pk, *slot] for pk, slot in slots.items()]
    before = list(Visit.objects.order_by("pk").values_list("starts_at", flat=True))
    apply_run(run=run, now=NOW)
    after = list(Visit.objects.order_by("pk").values_list("starts_at", flat=True))
    assert after == before[::-1]


def test_a_season_is_planned_by_one_run_at_a_time():
    season = spring.season()
    ask_for_run(season=season, by=None, seconds=1, now=NOW)
    with pytest.raises(RunRefused, match="Late spring is being planned already"):
        ask_for_run(season=season, by=None, seconds=1, now=NOW)


def test_a_run_has_one_worker():
    run = ask_for_run(season=spring.season(), by=None, seconds=1, now=NOW)
    assert claim_run(run_id=run.pk, now=NOW).pk == run.pk
    assert claim_run(run_id=run.pk, now=NOW) is None


def test_a_cancelled_run_stops_its_worker_and_leaves_the_season():
    season, _ = spring.season(), spring.technician()
    spring.owed(season)
    run = claim_run(run_id=ask_for_run(season=season, by=None, seconds=60, now=NOW).pk, now=NOW)
    cancel_run(run=run, now=NOW)
    assert not report_progress(run=run, now=NOW, progress={})


def test_a_silent_workers_run_is_handed_to_the_next_one():
    run = ask_for_run(season=spring.season(), by=None, seconds=1, now=NOW)
    claim_run(run_id=run.pk, now=NOW)
    later = NOW + dt.timedelta(minutes=2)
    assert rescue_runs(now=later) == [run.pk]
    run.refresh_from_db()
    assert (run.state, run.attempt) == (RunState.WAITING, 1)


def test_the_old_worker_of_a_rescued_run_can_no_longer_write():
    run = ask_for_run(season=spring.season(), by=None, seconds=1, now=NOW)
    old = claim_run(run_id=run.pk, now=NOW)
    rescue_runs(now=NOW + dt.timedelta(minutes=2))
    claim_run(run_id=run.pk, now=NOW)
    assert not report_progress(run=old, now=NOW, progress={"score": 1})


def test_a_run_whose_worker_is_lost_three_times_is_given_up_visibly():
    run = ask_for_run(season=spring.season(), by=None, seconds=1, now=NOW)
    for minutes in (2, 4, 6):
        claim_run(run_id=run.pk, now=NOW + dt.timedelta(minutes=minutes - 2))
        rescue_runs(now=NOW + dt.timedelta(minutes=minutes))
    run.refresh_from_db()
    assert run.state == RunState.FAILED
    assert "lost 3 times" in run.trouble
