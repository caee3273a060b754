"""The watch page: what each new forecast asks for, decided with one press."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from customers.models import Customer
from kit import words
from scheduling.actions.repairs import TO_TELL
from scheduling.actions.visits import hold_visit, promise_visit, unplace_visit
from scheduling.actions.watch import propose_repairs
from scheduling.models import Offer, RepairStep, State, StepState
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import COLD_F, foretold

pytestmark = pytest.mark.django_db
WATCH, LOOK = reverse("scheduling:watch"), reverse("scheduling:watch-look")
AGREE_ALL = reverse("scheduling:watch-agree-all")
TUESDAY = dt.date(2027, 5, 25)
NOW = spring.at(dt.date(2027, 5, 21), 10)


@pytest.fixture(autouse=True)
def _on_friday():
    with time_machine.travel(NOW, tick=False):
        yield


def promised(season, hour=9):
    return promise_visit(
        visit=spring.owed(season),
        technician=spring.technician(),
        starts_at=spring.at(TUESDAY, hour),
        minutes=60,
        now=NOW,
    )


def turned_cold(promises=1):
    """A season whose Tuesday turned cold, with its proposals."""
    season = spring.season()
    for number in range(promises):
        promised(season, hour=9 + number)
    foretold(season.branch, NOW - dt.timedelta(hours=1), {TUESDAY: COLD_F})
    propose_repairs(season=season, now=NOW)
    return season


def page_of(user=None) -> str:
    answer = cast.signed_in(user or cast.odile()).get(WATCH)
    return answer.content.decode().replace("\xa0", " ")


def act(name: str, step: RepairStep) -> str:
    return reverse(f"scheduling:watch-{name}", args=[step.pk])


def test_it_shows_each_proposal_with_its_reason_and_its_warmth():
    turned_cold()
    page = page_of()
    assert "Too cold by now: 1" in page
    assert "Tue, May 25, 9:00 AM, is very likely too cold" in page
    assert "Agree" in page
    assert "Leave as it stands" in page


def test_with_nothing_to_do_it_says_how_warm_the_promises_stand():
    season = spring.season()
    promised(season)
    foretold(season.branch, NOW - dt.timedelta(hours=1))
    propose_repairs(season=season, now=NOW)
    assert "The one promise until Friday, June 4, the next 10 working days, stands at" in page_of()


def test_agreeing_moves_the_visit():
    turned_cold()
    step = RepairStep.objects.get()
    answer = cast.signed_in(cast.odile()).post(act("agree", step), follow=True)
    step.visit.refresh_from_db()
    assert step.visit.starts_at == step.to_starts_at
    day = words.day_name(step.to_starts_at.astimezone(spring.CHICAGO))
    assert f"another day, {day}, " in answer.content.decode()
    assert "A letter goes out." in answer.content.decode()


def test_after_agreeing_the_page_tells_how_the_promises_stand_now():
    turned_cold()
    office = cast.signed_in(cast.odile())
    page = office.post(act("agree", RepairStep.objects.get()), follow=True).content.decode()
    assert "The one promise until Friday, June 4" in page
    assert "Too cold, not to be decided yet" not in page


def test_who_has_no_e_mail_address_is_to_be_telephoned():
    season = turned_cold()
    visit = RepairStep.objects.get().visit
    Customer.objects.update(email="")
    office = cast.signed_in(cast.odile())
    page = office.post(act("agree", RepairStep.objects.get()), follow=True).content.decode()
    assert "the telephone list has the call" in page
    call = Offer.objects.of(season.branch).to_call().get()
    assert (call.visit, call.why_call) == (visit, TO_TELL)
    page = office.get(reverse("scheduling:call", args=[call.pk])).content.decode()
    assert "The weather has changed" in page
    office.post(reverse("scheduling:call", args=[call.pk]), {"told": "yes"})
    assert not Offer.objects.to_call().exists()


def test_what_was_overtaken_is_said():
    turned_cold()
    step = RepairStep.objects.get()
    unplace_visit(visit=step.visit, now=NOW)
    page = cast.signed_in(cast.odile()).post(act("agree", step), follow=True).content.decode()
    assert "overtaken. The visit has changed since this was proposed." in page
    assert "No longer asked" in page


def test_what_was_overtaken_long_ago_is_no_longer_shown():
    turned_cold()
    RepairStep.objects.update(
        state=StepState.OVERTAKEN, ended_why="Long ago", decided_at=NOW - dt.timedelta(days=8)
    )
    assert "No longer asked" not in page_of()


def test_what_somebody_else_decided_is_said():
    turned_cold()
    step, office = RepairStep.objects.get(), cast.signed_in(cast.odile())
    office.post(act("refuse", step))
    page = office.post(act("agree", step), follow=True).content.decode()
    assert "Someone decided this already" in page


def test_refusing_leaves_it_as_it_stands():
    turned_cold()
    step = RepairStep.objects.get()
    cast.signed_in(cast.odile()).post(act("refuse", step))
    step.refresh_from_db()
    assert (step.state, step.decided_by) == (StepState.REFUSED, cast.odile())
    assert step.visit.state == State.PROMISED


def test_one_press_agrees_to_all():
    turned_cold(promises=3)
    assert "Agree to all 3" in page_of()
    cast.signed_in(cast.odile()).post(AGREE_ALL)
    assert set(RepairStep.objects.values_list("state", flat=True)) == {StepState.AGREED}


def test_what_is_held_says_since_when_and_why():
    season = spring.season()
    hold_visit(visit=spring.owed(season), why="Snow in May", release="Warmth", now=NOW)
    assert "Snow in May" in page_of()


def test_looking_now_proposes_at_once():
    season = spring.season()
    promised(season)
    foretold(season.branch, NOW - dt.timedelta(hours=1), {TUESDAY: COLD_F})
    answer = cast.signed_in(cast.odile()).post(LOOK, follow=True)
    assert "New proposals below." in answer.content.decode()


def test_a_branch_without_climate_is_told_how_to_come_by_one():
    season = spring.season()
    season.branch.climate.delete()
    answer = cast.signed_in(cast.odile()).post(LOOK, follow=True)
    assert "has no climate yet" in answer.content.decode()


def test_before_any_season_it_leads_to_opening_one():
    assert reverse("scheduling:new") in page_of()
    assert cast.signed_in(cast.odile()).post(LOOK).status_code == 404
    assert cast.signed_in(cast.odile()).post(AGREE_ALL).status_code == 404


def test_a_technician_does_not_decide():
    turned_cold()
    ingrid, step = cast.signed_in(cast.ingrid().user), RepairStep.objects.get()
    assert ingrid.get(WATCH).status_code == 404
    assert ingrid.post(act("agree", step)).status_code == 404


def test_a_stranger_decides_nothing(client):
    turned_cold()
    step, priya = RepairStep.objects.get(), cast.signed_in(cast.priya())
    for name in ("agree", "refuse"):
        assert priya.post(act(name, step)).status_code == 404
    assert client.get(WATCH).status_code == 302


def test_decisions_need_a_post():
    turned_cold()
    step, office = RepairStep.objects.get(), cast.signed_in(cast.odile())
    for address in (act("agree", step), act("refuse", step), LOOK, AGREE_ALL):
        assert office.get(address).status_code == 405
    assert office.post(WATCH).status_code == 405


def test_its_queries_do_not_grow_with_its_proposals(django_assert_num_queries):
    turned_cold(promises=5)
    office = cast.signed_in(cast.odile())
    with django_assert_num_queries(17):
        office.get(WATCH)


def test_the_season_page_leads_to_what_the_weather_asks_for():
    season = turned_cold()
    page = cast.signed_in(cast.odile()).get(reverse("scheduling:season", args=[season.pk]))
    assert "1 promise turned too cold" in page.content.decode()
    assert WATCH in page.content.decode()


def test_warmth_names_its_source():
    season = turned_cold()
    office = cast.signed_in(cast.odile())
    day = office.get(reverse("scheduling:day", args=[TUESDAY])).content.decode()
    ribbon = office.get(reverse("scheduling:season", args=[season.pk])).content.decode()
    for page in (day, ribbon):
        assert "forecast of Fri, May 21, 9:00 AM" in page.replace("\xa0", " ")
