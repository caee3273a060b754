"""The page of a season run: progress, difference, apply, cancel."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from scheduling import planner
from scheduling.actions.runs import ask_for_run, claim_run, report_progress
from scheduling.models import RunState, State, Visit
from scheduling.planning import carry_out
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def _in_may(monkeypatch):
    """On a day in May; a search counts its rounds, so that it is short and always the same."""
    monkeypatch.setattr(planner, "MaxSeconds", lambda _: planner.MaxIterations(1000))
    with time_machine.travel(NOW, tick=True):
        yield


def asked():
    season = spring.season()
    spring.technician()
    spring.owed(season)
    return ask_for_run(season=season, by=cast.odile(), seconds=1, now=NOW)


def address(run, act: str = "run") -> str:
    return reverse(f"scheduling:{act}", args=[run.pk])


def test_it_shows_the_figures_while_the_search_goes_on():
    run = claim_run(run_id=asked().pk, now=NOW)
    figures = {"seconds": 0.7, "placed": 1, "cold_trips": 0.2, "travel_min": 12, "score": 36}
    report_progress(run=run, now=NOW, progress=figures)
    page = cast.signed_in(cast.odile()).get(address(run)).content.decode()
    assert "Searching for a better plan" in page
    assert 'hx-trigger="every 1s"' in page


def test_its_part_alone_answers_the_pages_own_question():
    run = asked()
    page = cast.signed_in(cast.odile()).get(address(run), headers={"HX-Request": "true"})
    assert page.content.decode().strip().startswith('<div id="run"')


def test_a_ready_run_shows_the_difference_and_applies():
    run, office = asked(), cast.signed_in(cast.odile())
    carry_out(run.pk)
    assert "get a slot" in office.get(address(run)).content.decode()
    office.post(address(run, "run-apply"))
    assert Visit.objects.get().state == State.PENCILLED


def test_applying_twice_says_so():
    run, office = asked(), cast.signed_in(cast.odile())
    carry_out(run.pk)
    office.post(address(run, "run-apply"))
    page = office.post(address(run, "run-apply"), follow=True).content.decode()
    assert "Odile Marsh has put this plan into the season already" in page


def test_a_waiting_run_is_cancelled_at_once():
    run = asked()
    cast.signed_in(cast.odile()).post(address(run, "run-cancel"))
    run.refresh_from_db()
    assert run.state == RunState.CANCELLED


def test_a_discarded_run_leaves_the_season():
    run = asked()
    carry_out(run.pk)
    cast.signed_in(cast.odile()).post(address(run, "run-discard"))
    run.refresh_from_db()
    assert (run.state, Visit.objects.get().state) == (RunState.DISCARDED, State.OWED)


@pytest.mark.parametrize("act", ["run-apply", "run-cancel", "run-discard"])
def test_acts_need_a_post_and_the_office(act):
    run = asked()
    assert cast.signed_in(cast.odile()).get(address(run, act)).status_code == 405
    assert cast.signed_in(cast.ingrid().user).post(address(run, act)).status_code == 404
    assert cast.signed_in(cast.priya()).post(address(run, act)).status_code == 404
