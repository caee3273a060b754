"""A large branch planned in areas, and a company in branches: split, summed, joined, stopped."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from scheduling import planner
from scheduling.actions.apply import apply_run
from scheduling.actions.branches import ask_for_all
from scheduling.actions.runs import (
    RunRefused,
    ask_for_run,
    cancel_run,
    claim_run,
    fail_run,
    finish_run,
    rescue_runs,
)
from scheduling.cutting import areas_for
from scheduling.models import RunState, SeasonRun, State, Visit
from scheduling.planning import carry_out
from tests import cast, factories
from tests.scheduling import spring
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(1000))
    with time_machine.travel(NOW, tick=True):
        yield


@pytest.fixture
def season():
    """Eight homes in the west and east of Cedarburg, and two technicians."""
    made = spring.season()
    spring.technician()
    other = factories.TechnicianFactory(branch=made.branch, name="Ole Brandt")
    for weekday in range(5):
        factories.ShiftFactory(technician=other, weekday=weekday)
    for number in range(8):
        spring.owed(made, longitude=-88.0 + 0.1 * (number % 2) + number / 1000)
    return made


def asked(season, areas=2) -> SeasonRun:
    return ask_for_run(season=season, by=None, seconds=1, now=NOW, areas=areas)


def test_each_area_is_a_run_of_its_own_with_its_own_technicians(season):
    run = asked(season)
    areas = SeasonRun.objects.filter(pk__in=carry_out(run.pk))
    run.refresh_from_db()
    assert (run.state, areas.count()) == (RunState.PARTS, 2)
    west, east = (area.scope for area in areas.order_by("pk"))
    assert len(west["visits"]) == len(east["visits"]) == 4
    assert not set(west["technicians"]) & set(east["technicians"])


def test_the_areas_plans_come_together_and_are_applied_as_one(season):
    run = asked(season)
    for area in carry_out(run.pk):
        carry_out(area)
    carry_out(run.pk)
    run.refresh_from_db()
    assert (run.state, run.progress["placed"]) == (RunState.READY, 8)
    apply_run(run=run, now=NOW)
    assert set(Visit.objects.values_list("state", flat=True)) == {State.PENCILLED}


def test_the_whole_waits_for_its_last_area(season):
    run = asked(season)
    first, last = carry_out(run.pk)
    carry_out(first)
    assert claim_run(run_id=run.pk, now=NOW) is None
    carry_out(last)
    assert claim_run(run_id=run.pk, now=NOW).pk == run.pk


def test_a_lost_workers_area_is_done_again_and_nothing_else(season):
    run = asked(season)
    lost, done = carry_out(run.pk)
    carry_out(done)
    claim_run(run_id=lost, now=NOW)
    later = NOW + dt.timedelta(minutes=2)
    assert rescue_runs(now=later) == [lost]
    carry_out(lost)
    assert rescue_runs(now=later + dt.timedelta(minutes=1)) == [run.pk]
    carry_out(run.pk)
    run.refresh_from_db()
    attempts = dict(SeasonRun.objects.values_list("pk", "attempt"))
    assert (run.state, attempts[lost], attempts[done], attempts[run.pk]) == (
        RunState.READY, 1, 0, 0,
    )  # fmt: skip


def test_stopping_the_whole_stops_its_areas(season):
    run = asked(season)
    going, waiting = carry_out(run.pk)
    claim_run(run_id=going, now=NOW)
    cancel_run(run=run, now=NOW)
    states = dict(SeasonRun.objects.values_list("pk", "state"))
    assert states[run.pk] == states[waiting] == RunState.CANCELLED
    assert SeasonRun.objects.get(pk=going).cancel_asked


def test_good_enough_ends_every_area_and_keeps_what_they_have(season):
    run = asked(season)
    areas = carry_out(run.pk)
    finish_run(run=run)
    for area in areas:
        carry_out(area)
    carry_out(run.pk)
    run.refresh_from_db()
    assert (run.state, run.progress["placed"]) == (RunState.READY, 8)


def test_an_area_that_fails_fails_the_whole_in_words(season):
    run = asked(season)
    first, last = carry_out(run.pk)
    fail_run(run=SeasonRun.objects.get(pk=first), now=NOW, trouble="The worker was lost 3 times.")
    carry_out(last)
    carry_out(run.pk)
    run.refresh_from_db()
    assert run.state == RunState.FAILED
    assert "One of the areas could not be planned. The worker was lost" in run.trouble


def test_an_area_cannot_be_applied_by_itself(season):
    area = carry_out(asked(season).pk)[0]
    carry_out(area)
    with pytest.raises(RunRefused, match="Only a plan of the whole season"):
        apply_run(run=SeasonRun.objects.get(pk=area), now=NOW)


def test_the_page_shows_the_sum_of_the_areas(season):
    run = asked(season)
    first, _ = carry_out(run.pk)
    carry_out(first)
    page = cast.signed_in(cast.odile()).get(reverse("scheduling:run", args=[run.pk]))
    words = page.content.decode()
    assert "1 of 2 areas" in words
    assert "of 4" in words  # the visits of the area that is planned


def test_a_small_branch_is_one_area_and_a_large_one_several():
    assert [areas_for(visits) for visits in (0, 500, 3999, 4000, 10_000, 99_999)] == [
        1, 1, 1, 2, 4, 8,
    ]  # fmt: skip


def other_branch():
    branch = cast.sheboygan()
    set_climate(branch=branch, climate=demonstration_climate(), now=NOW)
    return factories.SeasonFactory(
        branch=branch, name="Spring", starts_on=spring.MONDAY, ends_on=dt.date(2027, 6, 12)
    )


def test_the_owner_plans_every_branch_and_sees_the_sum(season):
    other_branch()
    owner, address = cast.signed_in(cast.walter()), reverse("scheduling:branches")
    owner.post(reverse("scheduling:branches-plan"), {"seconds": 5})
    assert SeasonRun.objects.under_way().count() == 2
    for run in SeasonRun.objects.all():
        carry_out(run.pk)
    page = owner.get(address).content.decode()
    assert "2 of 2 planned" in page
    assert "Larkspur, Sheboygan" in page


def test_a_branch_that_is_being_planned_goes_on_when_all_are_asked_for(season):
    mine = asked(season, areas=1)
    runs = ask_for_all(seasons=[season, other_branch()], by=None, seconds=5, now=NOW)
    assert len(runs) == 1
    mine.refresh_from_db()
    assert mine.state == RunState.WAITING


def test_the_owner_stops_all_of_them(season):
    ask_for_all(seasons=[season, other_branch()], by=None, seconds=5, now=NOW)
    cast.signed_in(cast.walter()).post(reverse("scheduling:branches-cancel"))
    assert set(SeasonRun.objects.values_list("state", flat=True)) == {RunState.CANCELLED}


def test_every_branch_is_the_owners_alone(season):
    for name in ("branches", "branches-plan", "branches-cancel"):
        answer = cast.signed_in(cast.odile()).post(reverse(f"scheduling:{name}"))
        assert answer.status_code in (404, 405)
    assert cast.signed_in(cast.odile()).get(reverse("scheduling:branches")).status_code == 404
    assert SeasonRun.objects.count() == 0
