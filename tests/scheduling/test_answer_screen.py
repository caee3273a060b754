"""The customer's page of a visit: a link, no account."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from letters.links import revoke_links, token_of
from scheduling.actions.offers import keep_while_choosing, offer_visit
from scheduling.actions.visits import pencil_visit, promise_visit
from scheduling.announcements import about, answer_link
from scheduling.models import Offer, SlotHold, State, Visit
from scheduling.openings import FreeSlot
from scheduling.views import answer
from scheduling.views.answer import Times
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
    return times_shown(client, visit)[0][0]


def times_shown(client, visit: Visit) -> Times:
    """Every free time on the page, with its signed value."""
    return client.get(address(visit), {"times": ""}).context["times"]


def taken(slot: FreeSlot) -> None:
    """Somebody else gets that time."""
    minutes = (slot.ends_at - slot.starts_at).total_seconds() / 60
    promise_visit(
        visit=spring.owed(spring.season()), technician=spring.technician(),
        starts_at=slot.starts_at, minutes=minutes, now=NOW, pencilled_give_way=True,
    )  # fmt: skip


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
    visit = offered()
    times = times_shown(client, visit)
    slot, shown = times[0][0], [value for value, _ in times]
    taken(times[0][1])
    page = client.post(address(visit, "answer-keep"), {"slot": slot, "shown": shown})
    assert page.status_code == 409
    assert "Someone else has just taken that time" in page.content.decode()
    assert [value for value, _ in page.context["times"]] == shown[1:]


def test_a_refusal_asks_once_what_is_left_however_many_were_shown(client, monkeypatch):
    """A search for new times costs ten times as much, and hundreds may be refused at once."""
    visit = offered()
    shown = times_shown(client, visit)
    taken(shown[0][1])
    monkeypatch.setattr(answer, "free_slots", None)
    sent = {"slot": shown[0][0], "shown": [value for value, _ in shown]}
    with CaptureQueriesContext(connection) as few:
        client.post(address(visit, "answer-keep"), {**sent, "shown": sent["shown"][:2]})
    with CaptureQueriesContext(connection) as many:
        client.post(address(visit, "answer-keep"), sent)
    assert len(few) == len(many)


def test_when_all_that_was_shown_is_gone_it_says_so_and_offers_to_look_again(client):
    visit = offered()
    slot = times_shown(client, visit)[0]
    taken(slot[1])
    page = client.post(address(visit, "answer-keep"), {"slot": slot[0], "shown": [slot[0]]})
    assert page.context["times"] == []
    assert "The times that we showed you are gone" in page.content.decode()
    assert "Show me other times" in page.content.decode()


def test_a_time_that_another_keeps_while_choosing_is_not_left(client):
    visit, other = offered(), spring.owed(spring.season())
    shown = times_shown(client, visit)
    taken(shown[0][1])
    keep_while_choosing(visit=other, slot=shown[1][1], now=NOW)
    values = [value for value, _ in shown]
    page = client.post(address(visit, "answer-keep"), {"slot": values[0], "shown": values})
    assert [value for value, _ in page.context["times"]] == values[2:]


def test_altered_times_among_those_shown_are_passed_over(client):
    visit = offered()
    shown = [value for value, _ in times_shown(client, visit)]
    taken(times_shown(client, visit)[0][1])
    sent = {"slot": shown[0], "shown": [shown[1], "tomorrow at midnight"]}
    page = client.post(address(visit, "answer-keep"), sent)
    assert [value for value, _ in page.context["times"]] == [shown[1]]


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
