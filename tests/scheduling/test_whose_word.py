"""Free times name the warmth and whose word it is; without a climate they say what is missing."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.models import VisitKind
from letters.links import token_of
from scheduling.actions.offers import ask_for_a_call, offer_visit
from scheduling.actions.visits import pencil_visit
from scheduling.announcements import answer_link
from scheduling.models import Offer, State, Visit
from scheduling.openings import free_slots
from tests import cast
from tests.scheduling import spring
from tests.scheduling.weather import foretold

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 24), 10)
FRIDAY = dt.date(2027, 5, 28)


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def offered() -> Visit:
    """A cooling check offered for a Friday, whose customer asked for a call."""
    season, ingrid = spring.season(), spring.technician()
    visit = pencil_visit(
        visit=spring.owed(season), technician=ingrid, starts_at=spring.at(FRIDAY, 13),
        minutes=60, now=NOW,
    )  # fmt: skip
    Visit.objects.filter(pk=visit.pk).update(warmth=0.88)
    visit.warmth = 0.88
    offer_visit(visit=visit, now=NOW)
    ask_for_a_call(visit=visit, why="asked for a call", now=NOW)
    return visit


def without_a_climate(visit: Visit) -> Visit:
    visit.season.branch.climate.delete()
    return visit


def answer_page(client, visit: Visit, **query) -> str:
    page = client.get(reverse("scheduling:answer", args=[token_of(answer_link(visit, NOW))]), query)
    assert page.status_code == 200
    return page.content.decode().replace("\u00a0", " ")


def call_page(visit: Visit) -> str:
    page = cast.signed_in(cast.odile()).get(
        reverse("scheduling:call", args=[Offer.objects.get(visit=visit).pk])
    )
    assert page.status_code == 200
    return page.content.decode().replace("\u00a0", " ")


def test_a_customer_reads_that_the_forecast_says_so(client):
    visit = offered()
    foretold(visit.season.branch, NOW)
    assert "by the forecast of Monday, May 24, 10:00 AM" in answer_page(client, visit, times="")


def test_a_customer_reads_that_far_days_go_by_the_usual_weather(client):
    page = answer_page(client, offered(), times="")
    assert "by the usual weather of Milwaukee, Wisconsin" in page


def test_the_offered_time_says_it_too(client):
    visit = offered()
    foretold(visit.season.branch, NOW)
    page = answer_page(client, visit)
    assert "Likely warm enough, by the forecast of Monday, May 24, 10:00 AM" in page


def test_a_spanish_speaking_customer_reads_it_in_spanish(client):
    visit = offered()
    foretold(visit.season.branch, NOW)
    customer = visit.owed_visit.home.customer
    customer.language = "es"
    customer.save()
    page = answer_page(client, visit, times="")
    assert "según el pronóstico del lunes, 24 de mayo" in page
    assert "tiempo habitual de Milwaukee, Wisconsin" in page


def test_the_office_reads_it_beside_each_time_while_it_telephones():
    visit = offered()
    foretold(visit.season.branch, NOW)
    page = call_page(visit)
    assert "likely warm enough (88 %) by the forecast of Mon, May 24, 10:00 AM" in page
    assert "demonstration climate of Milwaukee, Wisconsin" in page


def test_without_a_climate_a_customer_is_asked_to_let_us_call(client):
    page = answer_page(client, without_a_climate(offered()), times="")
    assert "We cannot tell yet which days are warm enough" in page
    assert "We will call you" in page


def test_without_a_climate_the_call_still_books_the_offered_time():
    visit = without_a_climate(offered())
    assert "has no climate yet" in call_page(visit)
    slot = f"{visit.technician_id}~{visit.starts_at.isoformat()}"
    call = reverse("scheduling:call", args=[Offer.objects.get(visit=visit).pk])
    cast.signed_in(cast.odile()).post(call, {"slot": slot, "minutes": "60"})
    visit.refresh_from_db()
    assert visit.state == State.PROMISED


def test_without_a_climate_the_short_notice_list_says_what_is_missing():
    visit = without_a_climate(spring.owed(spring.season(), short_notice=True))
    office = cast.signed_in(cast.odile())
    page = office.get(reverse("scheduling:short-notice"))
    assert "has no climate yet" in page.content.decode()
    filled = office.post(reverse("scheduling:fill", args=[visit.pk]), follow=True)
    assert "has no climate yet" in filled.content.decode()


def test_a_heating_check_needs_no_climate_to_find_its_times():
    spring.technician()
    visit = spring.owed(spring.season())
    visit.owed_visit.kind = VisitKind.HEATING
    visit.owed_visit.save()
    slots = free_slots(without_a_climate(visit), now=NOW)
    assert len(slots) == 6
    assert {slot.warmth for slot in slots} == {None}
