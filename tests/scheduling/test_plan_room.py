"""The plan room: start, watch, stop when good enough, compare, apply, undo, what if."""

import datetime as dt

import pytest
import time_machine
from celery.signals import worker_init
from django.urls import reverse

from scheduling import planner, tasks
from scheduling.actions.runs import ask_for_run, claim_run, finish_run, report_progress
from scheduling.models import RunKind, RunState, SeasonRun, State, Technician, Visit
from scheduling.planning import carry_out
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)
UNDER_WAY = {
    "seconds": 1.4, "placed": 3, "visits": 4, "cold_trips": 0.4, "travel_min": 50, "score": 700,
    "curve": [[0.7, 2600, 0], [1.4, 700, 3]],
}  # fmt: skip


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(1000))
    with time_machine.travel(NOW, tick=True):
        yield


@pytest.fixture
def season():
    made = spring.season()
    spring.technician()
    for _ in range(4):
        spring.owed(made)
    return made


def planned(season, **more) -> SeasonRun:
    run = ask_for_run(season=season, by=cast.odile(), seconds=1, now=NOW, **more)
    carry_out(run.pk)
    run.refresh_from_db()
    return run


def office():
    return cast.signed_in(cast.odile())


def room(season) -> str:
    return office().get(reverse("scheduling:plans", args=[season.pk])).content.decode()


def test_an_empty_room_says_what_to_do(season):
    page = room(season)
    assert "No plan is being made" in page
    assert "Plans that were made stand here" in page


def test_a_search_is_watched_by_its_curve_and_figures(season):
    run = claim_run(run_id=ask_for_run(season=season, by=None, seconds=9, now=NOW).pk, now=NOW)
    report_progress(run=run, now=NOW, progress=UNDER_WAY)
    page = room(season)
    assert "After 1 s the score has come from 2,600 down to 700 minutes." in page
    assert "Good enough: stop and keep the best" in page
    assert "Plan the season</button>" not in page


def test_good_enough_stops_the_search_and_keeps_the_best(season):
    run = claim_run(run_id=ask_for_run(season=season, by=None, seconds=9, now=NOW).pk, now=NOW)
    office().post(reverse("scheduling:run-finish", args=[run.pk]))
    assert not report_progress(run=run, now=NOW, progress=UNDER_WAY)
    run.refresh_from_db()
    assert (run.finish_asked, run.cancel_asked, run.state) == (True, False, RunState.RUNNING)


def test_a_run_that_was_good_enough_at_once_is_still_a_plan(season):
    run = ask_for_run(season=season, by=None, seconds=1, now=NOW)
    finish_run(run=run)
    carry_out(run.pk)
    run.refresh_from_db()
    assert (run.state, run.progress["placed"]) == (RunState.READY, 4)


def test_a_plan_is_shown_with_what_no_plan_can_do_better(season):
    run = planned(season)
    assert 0 <= run.progress["fewest_cold"] <= run.progress["cold_trips"] + 0.05
    page = room(season)
    assert "no plan that places as many has fewer than" in page
    assert "Put this plan into the season" in page


def test_the_room_lists_plans_and_undoes_the_one_that_was_applied(season):
    run = planned(season)
    browser = office()
    browser.post(reverse("scheduling:run-apply", args=[run.pk]))
    page = room(season)
    assert "Applied by Odile Marsh" in page
    assert "/undo/" in page
    answer = browser.post(reverse("scheduling:run-undo", args=[run.pk]), follow=True)
    assert "Undone: 4 visits stand again where they stood." in answer.content.decode()
    assert set(Visit.objects.values_list("state", flat=True)) == {State.OWED}


def test_of_two_applied_plans_only_the_newer_offers_to_be_undone(season):
    browser = office()
    for seed in (1, 2):
        browser.post(reverse("scheduling:run-apply", args=[planned(season, seed=seed).pk]))
        spring.owed(season)
    page = room(season)
    assert page.count("Applied by Odile Marsh") == 2
    assert page.count("/undo/") == 1


def test_two_plans_stand_side_by_side_with_their_terms(season):
    first = planned(season)
    spring.owed(season)
    second = planned(season, seed=2)
    address = reverse("scheduling:compare", args=[season.pk])
    page = office().get(address, {"a": first.pk, "b": second.pk}).content.decode()
    assert page.count('class="picture picture--ribbon"') == 2
    assert "Travel, weighted minutes" in page
    assert "in only one of the two" in page


def test_what_a_plan_left_alone_is_no_difference_to_the_season(season):
    browser = office()
    browser.post(reverse("scheduling:run-apply", args=[planned(season).pk]))
    Visit.objects.filter(season=season).update(state=State.PROMISED)
    spring.owed(season)
    address = reverse("scheduling:compare", args=[season.pk])
    page = browser.get(address, {"a": "now", "b": planned(season).pk}).content.decode()
    assert "1 visit stands at another time" in page


@pytest.mark.parametrize("asked", [{}, {"a": "now", "b": "77777"}, {"a": "'; --"}])
def test_an_unknown_plan_is_answered_with_a_known_one(season, asked):
    planned(season)
    page = office().get(reverse("scheduling:compare", args=[season.pk]), asked)
    assert page.status_code == 200
    assert "As the season stands" in page.content.decode()


def test_without_any_plan_the_season_is_compared_with_itself(season):
    page = office().get(reverse("scheduling:compare", args=[season.pk]))
    assert page.status_code == 200


CHANGES = [
    "saturdays",
    "test_temperature",
    "short_notice",
    "promises",
    "technician_week-2027-05-24",
]


@pytest.mark.parametrize("what", CHANGES)
def test_a_what_if_is_planned_beside_the_season_as_it_is(season, what):
    asked = {"what": what, "seconds": 5}
    browser = office()
    answer = browser.post(reverse("scheduling:what-if", args=[season.pk]), asked)
    run = SeasonRun.objects.get(kind=RunKind.WHAT_IF)
    assert answer.url == reverse("scheduling:run", args=[run.pk])
    carry_out(run.pk)
    page = browser.get(answer.url).content.decode()
    assert "As it is" in page
    assert "Nothing of it is put into the season" in page
    assert page.count('class="picture picture--ribbon"') == (3 if what == "promises" else 2)
    assert "Put this plan into the season" not in page


def test_a_what_if_that_is_ready_does_not_hide_the_plan_that_is_ready(season):
    planned(season)
    planned(season, change={"what": "saturdays"})
    assert "Put this plan into the season" in room(season)


def test_a_what_if_cannot_be_applied(season):
    run = planned(season, change={"what": "saturdays"})
    answer = office().post(reverse("scheduling:run-apply", args=[run.pk]), follow=True)
    assert "Only a plan of the whole season as it is" in answer.content.decode()


def test_an_unknown_what_if_is_refused_in_words(season):
    answer = office().post(
        reverse("scheduling:what-if", args=[season.pk]), {"what": "magic"}, follow=True
    )
    assert "Choose what to try" in answer.content.decode()


def test_a_plan_and_a_what_if_run_at_once_but_not_two_of_a_kind(season):
    ask_for_run(season=season, by=None, seconds=1, now=NOW)
    browser, address = office(), reverse("scheduling:what-if", args=[season.pk])
    browser.post(address, {"what": "saturdays", "seconds": 5})
    answer = browser.post(address, {"what": "saturdays", "seconds": 5}, follow=True)
    assert "is being tried with a change already" in answer.content.decode()


def test_a_season_without_visits_technicians_or_days_says_so_before_planning():
    empty = spring.season(name="Empty", ends_on=spring.MONDAY)
    page = room(empty)
    assert "No visit is owed in this season" in page
    assert "has no technician" in page
    run = planned(empty)
    assert run.state == RunState.READY
    assert "There was no visit to place" in room(empty)


def test_a_technician_without_a_start_place_begins_at_the_branch(season):
    Technician.objects.update(latitude=None, longitude=None)
    assert "No start place is on file for Ingrid Solberg" in room(season)
    assert planned(season).progress["placed"] == 4


@pytest.mark.parametrize("days", [1, 400])
def test_a_season_of_one_day_and_of_400_days_is_planned(days):
    last = spring.MONDAY + dt.timedelta(days=days - 1)
    season = spring.season(name=f"{days} days", ends_on=last)
    spring.technician()
    spring.owed(season)
    assert planned(season).state == RunState.READY


def test_a_season_that_is_over_says_so():
    season = spring.season(starts_on=dt.date(2027, 4, 1), ends_on=dt.date(2027, 5, 1))
    assert "no day of it is left" in room(season)
    run = planned(season)
    assert (run.state, "ended on May 1" in run.trouble) == (RunState.FAILED, True)


def test_the_list_of_plans_asks_for_itself_when_a_run_ends(season):
    planned(season)
    address = reverse("scheduling:plans", args=[season.pk])
    part = office().get(address, headers={"HX-Request": "true"}).content.decode()
    assert part.strip().startswith('<div id="plans"')
    run = SeasonRun.objects.get()
    live = office().get(reverse("scheduling:run", args=[run.pk]), headers={"HX-Request": "true"})
    assert live["HX-Trigger"] == "plan-ended"


def test_the_room_asks_the_database_no_more_for_many_plans(season, django_assert_max_num_queries):
    for number in range(30):
        SeasonRun.objects.create(
            season=season, asked_at=NOW, heard_at=NOW, state=RunState.DISCARDED, seed=number,
            asked_by=cast.odile(), progress={"placed": 1, "cold_trips": 0, "travel_min": 9,
                                             "score": 9},
        )  # fmt: skip
    browser = office()
    with django_assert_max_num_queries(20):
        browser.get(reverse("scheduling:plans", args=[season.pk]))


@pytest.mark.parametrize("act", ["run-finish", "run-undo"])
def test_acts_need_a_post_and_the_office(season, act):
    run = ask_for_run(season=season, by=None, seconds=1, now=NOW)
    address = reverse(f"scheduling:{act}", args=[run.pk])
    assert office().get(address).status_code == 405
    assert cast.signed_in(cast.ingrid().user).post(address).status_code == 404
    assert cast.signed_in(cast.priya()).post(address).status_code == 404


def test_no_page_compiles_the_planner_or_searches(season, monkeypatch):
    run = planned(season)

    def nobody_may(*_):
        raise AssertionError("a page searched")

    monkeypatch.setattr("scheduling.planner.search.compile_once", nobody_may)
    monkeypatch.setattr(planner, "plan", nobody_may)
    visit = Visit.objects.first()
    for name, pk in (("plans", season.pk), ("compare", season.pk), ("run", run.pk),
                     ("visit-why", visit.pk), ("season", season.pk)):  # fmt: skip
        assert office().get(reverse(f"scheduling:{name}", args=[pk])).status_code == 200


def test_a_worker_compiles_the_planner_before_its_first_task(monkeypatch):
    compiled = []
    monkeypatch.setattr(planner, "compile_once", lambda: compiled.append(1))
    listening = [receiver() for _, receiver in worker_init.receivers]
    assert tasks.compile_the_planner in listening
    tasks.compile_the_planner()
    assert compiled == [1]
