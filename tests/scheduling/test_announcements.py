"""Every letter about a visit can be worded, in both languages, with its calendar entry."""

import datetime as dt

import pytest
from django.utils import timezone

from letters.models import Letter, Sender
from letters.render import message_of
from scheduling.actions.offers import accept_offer, follow_up_offers, offer_visit, tell_of_tomorrow
from scheduling.actions.visits import pencil_visit, promise_visit, unplace_visit
from scheduling.announcements import announce_coming
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)


def told_everything(language: str) -> list[Letter]:
    """The letters of a visit that was offered twice, promised, moved and cancelled."""
    season, ingrid = spring.season(), spring.technician()
    Sender.objects.get_or_create(
        branch=season.branch,
        defaults={
            "from_name": "Larkspur",
            "from_email": "office@example.com",
            "phone": "+14145550100",
            "postal_address": "7 Mill Lane, Cedarburg, WI 53012",
        },
    )
    visit = spring.owed(season)
    customer = visit.owed_visit.home.customer
    customer.language = language
    customer.save()
    slot = {"technician": ingrid, "minutes": 60, "now": NOW}
    pencil_visit(visit=visit, starts_at=spring.at(dt.date(2027, 6, 2), 13), **slot)
    offer_visit(visit=visit, now=NOW)
    follow_up_offers(now=NOW + dt.timedelta(days=4))
    visit.refresh_from_db()
    accept_offer(visit=visit, now=NOW)
    promise_visit(visit=visit, starts_at=spring.at(dt.date(2027, 6, 3), 13), **slot)
    tell_of_tomorrow(now=spring.at(dt.date(2027, 6, 2), 14))
    announce_coming(visit, "on_the_way", timezone.now())
    unplace_visit(visit=visit, now=NOW, why="A cold front comes in.")
    return list(Letter.objects.order_by("pk"))


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_letter_of_a_visit_can_be_worded(language):
    letters = told_everything(language)
    assert [letter.kind for letter in letters] == [
        "offer",
        "second_offer",
        "promise_confirmed",
        "promise_moved",
        "day_before",
        "on_the_way",
        "promise_cancelled",
    ]
    for letter in letters:
        message = message_of(letter)
        assert message.subject
        assert "7 Mill Lane" in message.body


def test_the_calendar_entry_goes_with_what_was_agreed():
    letters = {letter.kind: letter for letter in told_everything("en")}
    methods = {kind: letter.invitation.get("method") for kind, letter in letters.items()}
    assert methods == {
        "offer": None,
        "second_offer": None,
        "promise_confirmed": "REQUEST",
        "promise_moved": "REQUEST",
        "day_before": None,
        "on_the_way": None,
        "promise_cancelled": "CANCEL",
    }
    assert len({letters[k].invitation["uid"] for k, m in methods.items() if m}) == 1
