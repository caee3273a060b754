"""The customer's page of a visit: a link, no account."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from letters.links import revoke_links, token_of
from scheduling.actions.offers import offer_visit
from scheduling.actions.visits import pencil_visit, promise_visit
from scheduling.announcements import about, answer_link
from scheduling.models import Offer, SlotHold, State, Visit
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)
TUESDAY = spring.MONDAY + dt.timedelta(days=1)


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def offered(**home) -> Visit:
    visit = pencil_visit(
        visit=spring.owed(spring.season(), **home),
        technician=spring.technician(),
        starts_at=spring.at(TUESDAY, 13),
        minutes=60,
        now=NOW,
    )
    offer_visit(visit=visit, now=NOW)
    return visit


def address(visit: Visit, act: str = "answer") -> str:
    return reverse(f"scheduling:{act}", args=[token_of(answer_link(visit, NOW))])


def first_time(client, visit: Visit) -> str:
    """The signed value of the first free time on the page."""
    page = client.get(address(visit), {"times": ""})
    return page.context["times"][0][0]


def test_it_shows_the_time_without_an_account(client):
    page = client.get(address(offered())).content.decode().replace("\u00a0", " ")
    assert "Tuesday, May 25, 1:00 PM" in page
    assert "Accept this time" in page


def test_opening_the_link_changes_nothing(client):
    visit = offered()
    client.get(address(visit))
    client.get(address(visit), {"times": ""})
    visit.refresh_from_db()
    assert visit.state == State.OFFERED


def test_accepting_promises_the_visit(client):
    visit = offered()
    client.post(address(visit, "answer-accept"))
    visit.refresh_from_db()
    assert visit.state == State.PROMISED


def test_another_time_is_kept_and_then_promised(client):
    visit = offered()
    client.post(address(visit, "answer-keep"), {"slot": first_time(client, visit)})
    kept = SlotHold.objects.get()
    assert "We keep it for you until 10:10" in client.get(address(visit)).content.decode()
    client.post(address(visit, "answer-confirm"))
    visit.refresh_from_db()
    assert (visit.state, visit.starts_at) == (State.PROMISED, kept.starts_at)


def test_a_time_that_went_meanwhile_is_said_kindly_with_others(client):
    visit, other = offered(), spring.owed(spring.season())
    slot = first_time(client, visit)
    starts_at = client.get(address(visit), {"times": ""}).context["times"][0][1].starts_at
    promise_visit(
        visit=other, technician=spring.technician(), starts_at=starts_at, minutes=60, now=NOW
    )
    page = client.post(address(visit, "answer-keep"), {"slot": slot})
    assert page.status_code == 409
    assert "Someone else has just taken that time" in page.content.decode()
    assert page.context["times"]


def test_a_time_that_nobody_offered_is_refused(client):
    visit = offered()
    page = client.post(address(visit, "answer-keep"), {"slot": "tomorrow at midnight"})
    assert page.status_code == 409
    assert not SlotHold.objects.exists()


def test_a_time_of_another_visit_is_refused(client):
    visit = offered()
    other = spring.owed(spring.season())
    client.post(address(other, "answer-keep"), {"slot": first_time(client, visit)})
    assert not SlotHold.objects.exists()


def test_a_customer_asks_for_a_call(client):
    visit = offered()
    client.post(address(visit, "answer-call"))
    assert Offer.objects.to_call().get().visit == visit
    assert "We will call you" in client.get(address(visit)).content.decode()


def test_a_customer_joins_and_leaves_the_short_notice_list(client):
    visit = offered()
    client.post(address(visit, "answer-short-notice"), {"willing": "yes"})
    visit.owed_visit.home.refresh_from_db()
    assert visit.owed_visit.home.short_notice
    client.post(address(visit, "answer-short-notice"))
    visit.owed_visit.home.refresh_from_db()
    assert not visit.owed_visit.home.short_notice


def test_an_altered_an_expired_and_a_revoked_link_lead_nowhere(client):
    visit = offered()
    token = token_of(answer_link(visit, NOW))
    altered = reverse("scheduling:answer", args=[token[:-1] + ("A" if token[-1] != "A" else "B")])
    assert client.get(altered).status_code == 404
    with time_machine.travel(NOW + dt.timedelta(days=201)):
        expired = reverse("scheduling:answer", args=[token])
        assert client.get(expired).status_code == 404
    revoke_links(about=about(visit), now=NOW)
    assert client.get(reverse("scheduling:answer", args=[token])).status_code == 404


def test_nothing_of_the_customer_stands_on_the_page_of_a_dead_link(client):
    visit = offered()
    token = token_of(answer_link(visit, NOW))
    revoke_links(about=about(visit), now=NOW)
    page = client.get(reverse("scheduling:answer", args=[token])).content.decode()
    assert visit.owed_visit.home.street not in page
    assert visit.owed_visit.home.customer.name not in page


def test_a_spanish_speaking_customer_reads_spanish(client):
    visit = offered()
    customer = visit.owed_visit.home.customer
    customer.language = "es"
    customer.save()
    page = client.get(address(visit)).content.decode()
    assert 'lang="es"' in page
    assert "Aceptar esta hora" in page


@pytest.mark.parametrize(
    "act", ["answer-accept", "answer-keep", "answer-confirm", "answer-call", "answer-short-notice"]
)
def test_acts_need_a_post(client, act):
    assert client.get(address(offered(), act)).status_code == 405
