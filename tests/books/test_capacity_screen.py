"""The capacity screen: the quick answer at once, the planner's run, refusals."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from books.actions.capacity import (
    CapacityRefused,
    ask_for_capacity,
)
from books.answering import answer_capacity
from books.capacity_reading import capacity_of, working_minutes
from books.models import CapacityRun
from kit.web.asked import AskedState, claim, report, rescue, stop
from scheduling import planner
from scheduling.planner import Lunch, Workday
from tests import cast
from tests.scheduling import spring
from weather.actions import observe_hours
from weather.models import BranchClimate

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    """On a day in May; a search counts its rounds, so that it is short and always the same."""
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(200))
    with time_machine.travel(NOW, tick=True):
        yield


def a_season(owed=3):
    season = spring.season()
    spring.technician()
    for _ in range(owed):
        spring.owed(season)
    return season


def page(season, who=cast.odile):
    return cast.signed_in(who()).get(reverse("books:capacity", args=[season.pk]))


def asked(season):
    return ask_for_capacity(season=season, by=cast.odile(), seconds=1, now=NOW)


def address(run, act="capacity-run"):
    return reverse(f"books:{act}", args=[run.pk])


def test_the_quick_answer_stands_there_at_once():
    words = page(a_season()).content.decode()
    assert "The 3 checks owed fit" in words
    assert "Warm time against what is owed" in words


def test_a_season_that_is_owed_too_much_says_how_much_does_not_fit():
    season = a_season(2)
    season.ends_on = season.starts_on
    season.save()
    cast.cedarburg().technicians.update(active=False)
    assert "do not fit into an ordinary spring" in page(season).content.decode()


def test_without_a_climate_it_says_what_is_missing():
    season = a_season()
    BranchClimate.objects.all().delete()
    assert "has no climate yet" in page(season).content.decode()


def test_a_season_that_is_over_leads_to_the_next():
    season = a_season()
    with time_machine.travel(NOW + dt.timedelta(days=60)):
        assert "This season is over" in page(season).content.decode()


def test_real_springs_stand_beside_those_drawn():
    season = a_season()
    first = spring.at(spring.MONDAY.replace(year=2026), 0)
    hours = {first + dt.timedelta(hours=n): 70.0 for n in range(21 * 24)}
    observe_hours(branch=season.branch, hours=hours, source="a thermometer")
    (real,) = capacity_of(season, NOW).real
    assert real.year == 2026
    assert real.visits[-1] == pytest.approx(real.visits[0] * 15, rel=0.05)  # fifteen workdays
    assert "2026 had room for" in page(season).content.decode()


def test_a_half_hour_counts_as_far_as_somebody_works_in_it():
    day = Workday(
        "k", "Ana", 0, 495.0, 1005.0, 0, 0, lunch=Lunch(660, 810, 45.0),
        skills=frozenset({"cooling"}),
    )  # fmt: skip
    minutes = working_minutes([day], 1)
    assert minutes.sum() == 1005 - 495 - 45
    assert (minutes[0, 16], minutes[0, 24], minutes[0, 25]) == (15.0, 0.0, 15.0)


def test_the_planner_answers_in_the_background():
    season, office = a_season(), cast.signed_in(cast.odile())
    office.post(reverse("books:capacity-ask", args=[season.pk]), {"seconds": "3"})
    run = CapacityRun.objects.get()
    answer_capacity(run.pk)
    run.refresh_from_db()
    assert (run.state, run.found["unplaced"]) == (AskedState.READY, 0)
    assert "All 3 visits have a place" in office.get(address(run)).content.decode()
    assert "One more technician makes room" in page(season).content.decode()


def test_it_shows_how_far_it_is_and_asks_again():
    run = claim(CapacityRun, run_id=asked(a_season()).pk, now=NOW)
    report(run=run, done=3, total=13, now=NOW)
    words = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "3 of 13 plans" in words
    assert 'hx-trigger="every 1s"' in words


def test_a_second_run_of_the_season_leads_to_the_first():
    season = a_season()
    run = asked(season)
    with pytest.raises(CapacityRefused, match="already"):
        asked(season)
    office = cast.signed_in(cast.odile())
    answer = office.post(reverse("books:capacity-ask", args=[season.pk]))
    assert answer["Location"] == address(run)


def test_a_stopped_run_ends_and_writes_nothing():
    run = asked(a_season())
    cast.signed_in(cast.odile()).post(address(run, "capacity-stop"))
    answer_capacity(run.pk)
    run.refresh_from_db()
    assert (run.state, run.found) == (AskedState.CANCELLED, {})


def test_a_run_that_is_stopped_in_the_middle_gives_up(monkeypatch):
    run = asked(a_season())
    plan = planner.plan

    def stopped_meanwhile(*words, **more):
        stop(run=run, now=NOW)
        return plan(*words, **more)

    monkeypatch.setattr(planner, "plan", stopped_meanwhile)
    answer_capacity(run.pk)
    run.refresh_from_db()
    assert (run.state, run.done) == (AskedState.CANCELLED, 0)


def test_a_lost_worker_is_followed_by_another_three_times_at_most():
    run = asked(a_season())
    later = NOW
    for attempt in (1, 2):
        claim(CapacityRun, run_id=run.pk, now=later)
        later += dt.timedelta(minutes=5)
        assert rescue(CapacityRun, now=later) == [run.pk]
        run.refresh_from_db()
        assert run.attempt == attempt
    claim(CapacityRun, run_id=run.pk, now=later)
    rescue(CapacityRun, now=later + dt.timedelta(minutes=5))
    run.refresh_from_db()
    assert run.state == AskedState.FAILED


def test_a_worker_that_died_on_a_clock_running_ahead_is_not_waited_for():
    run = asked(a_season())
    claim(CapacityRun, run_id=run.pk, now=NOW + dt.timedelta(days=1))
    assert rescue(CapacityRun, now=NOW) == [run.pk]


def test_a_season_that_cannot_be_planned_says_why():
    season = a_season()
    run = asked(season)
    BranchClimate.objects.all().delete()
    answer_capacity(run.pk)
    words = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "has no climate yet" in words


@pytest.mark.parametrize("act", ["capacity-run", "capacity-stop"])
def test_strangers_find_no_run(act):
    run = asked(a_season())
    browser = cast.signed_in(cast.priya())
    send = browser.get if act == "capacity-run" else browser.post
    assert send(address(run, act)).status_code == 404


def test_the_page_asks_as_much_for_many_visits_as_for_few(django_assert_num_queries):
    season, browser = a_season(2), cast.signed_in(cast.odile())
    where = reverse("books:capacity", args=[season.pk])
    browser.get(where)
    with CaptureQueriesContext(connection) as few:
        browser.get(where)
    for _ in range(5):
        spring.owed(season)
    with django_assert_num_queries(len(few)):
        browser.get(where)
