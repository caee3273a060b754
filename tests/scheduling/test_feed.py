"""A technician's calendar feed: secret, revocable, and right about moves and cancellations."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse
from icalendar import Calendar

from letters.links import token_of
from scheduling.actions.visits import promise_visit, unplace_visit
from scheduling.feeds import feed_link, renew_feed_link
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def promised(hour: int = 13):
    visit = spring.owed(spring.season())
    return promise_visit(
        visit=visit,
        technician=spring.technician(),
        starts_at=spring.at(spring.MONDAY, hour),
        minutes=60,
        now=NOW,
    )


def events(client) -> list:
    link = feed_link(spring.technician(), NOW)
    answer = client.get(reverse("scheduling:feed", args=[token_of(link)]))
    assert answer["Content-Type"].startswith("text/calendar")
    return Calendar.from_ical(answer.content).walk("VEVENT")


def test_it_holds_the_technicians_visits(client):
    visit = promised()
    (event,) = events(client)
    assert event.decoded("DTSTART") == visit.starts_at
    assert visit.owed_visit.home.customer.name in event["SUMMARY"]


def test_a_moved_visit_keeps_its_uid_and_raises_its_sequence(client):
    visit = promised()
    before = events(client)[0]
    promise_visit(
        visit=visit,
        technician=visit.technician,
        starts_at=spring.at(spring.MONDAY, 15),
        minutes=60,
        now=NOW,
    )
    after = events(client)[0]
    assert (after["UID"], after["SEQUENCE"]) == (before["UID"], before["SEQUENCE"] + 1)


def test_a_cancelled_visit_is_gone(client):
    visit = promised()
    unplace_visit(visit=visit, now=NOW)
    assert events(client) == []


def test_a_guessed_or_an_old_address_is_not_found(client):
    promised()
    old = token_of(feed_link(spring.technician(), NOW))
    renew_feed_link(spring.technician(), NOW)
    for token in (old, "1~guessed", "feed"):
        assert client.get(reverse("scheduling:feed", args=[token])).status_code == 404


def test_the_office_sees_a_technicians_address_and_renews_it():
    ingrid, office = spring.technician(), cast.signed_in(cast.odile())
    page = reverse("scheduling:technician", args=[ingrid.pk])
    old = token_of(feed_link(ingrid, NOW))
    assert f"/season/feed/{old}.ics" in office.get(page).content.decode()
    office.post(reverse("scheduling:renew-feed", args=[ingrid.pk]))
    assert old not in office.get(page).content.decode()


def test_only_the_office_renews_it():
    page = reverse("scheduling:renew-feed", args=[spring.technician().pk])
    assert cast.signed_in(cast.ingrid().user).post(page).status_code == 404
    assert cast.signed_in(cast.priya()).post(page).status_code == 404
    assert cast.signed_in(cast.odile()).get(page).status_code == 405
