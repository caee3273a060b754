"""Who changed a visit, when and what: written in the same transaction by the verbs, and kept."""

import datetime as dt

import pytest
import time_machine
from django.db import IntegrityError, transaction
from django.urls import reverse

from kit.web.append_only import ERASED
from scheduling.actions.offers import accept_offer, offer_visit
from scheduling.actions.slots import SlotTaken
from scheduling.actions.visits import complete_visit, pencil_visit, promise_visit, unplace_visit
from scheduling.models import State, Visit, VisitEvent
from tests import cast
from tests.scheduling import spring

pytestmark = pytest.mark.django_db
NOW = spring.at(dt.date(2027, 5, 20), 10)
NINE, TEN = (spring.at(spring.MONDAY, hour) for hour in (9, 10))


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(NOW, tick=False):
        yield


def pencilled() -> Visit:
    return pencil_visit(
        visit=spring.owed(spring.season()), technician=spring.technician(), starts_at=NINE,
        minutes=60, now=NOW, by=cast.odile(),
    )  # fmt: skip


def promised(visit: Visit, starts_at: dt.datetime, **more) -> Visit:
    return promise_visit(
        visit=visit, technician=spring.technician(), starts_at=starts_at, minutes=60, now=NOW,
        by=cast.odile(), **more,
    )  # fmt: skip


def told(visit: Visit) -> list[tuple[str, str, str | None]]:
    """From, to and by whom, oldest first."""
    events = visit.events.select_related("by").order_by("pk")
    return [(event.was, event.state, event.by and event.by.username) for event in events]


def test_each_step_of_a_promise_says_who_and_when():
    visit = pencilled()
    offer_visit(visit=visit, now=NOW, by=cast.odile())
    accept_offer(visit=visit, now=NOW)
    complete_visit(visit=visit, now=TEN, by=cast.ingrid().user)
    assert told(visit) == [
        ("owed", "pencilled", "odile"),
        ("pencilled", "offered", "odile"),
        ("offered", "promised", None),
        ("promised", "done", "ingrid"),
    ]
    assert visit.events.get(state="promised").words == "The customer accepted it."


def test_a_moved_promise_says_from_where_to_where_and_why():
    visit = promised(promised(pencilled(), NINE), TEN, why="Ingrid is ill.")
    event = visit.events.first()
    assert event.moved
    assert (event.was_starts_at, event.starts_at, event.words) == (NINE, TEN, "Ingrid is ill.")


def test_a_change_that_is_refused_leaves_no_line():
    visit = pencilled()
    stale = Visit.objects.get(pk=visit.pk)
    promised(visit, NINE)
    with pytest.raises(SlotTaken):
        unplace_visit(visit=stale, now=NOW, by=cast.walter())
    assert "walter" not in {by for _, _, by in told(visit)}


def test_the_database_keeps_every_line_but_lets_personal_words_go():
    event = promised(pencilled(), NINE, why="Nora is away").events.first()
    for change in ({"by": None}, {"words": "something else"}, {"state": "held", "words": ERASED}):
        with pytest.raises(IntegrityError), transaction.atomic():
            VisitEvent.objects.filter(pk=event.pk).update(**change)
    with pytest.raises(IntegrityError), transaction.atomic():
        event.delete()
    VisitEvent.objects.filter(pk=event.pk).update(words=ERASED)
    event.refresh_from_db()
    assert (event.words, event.by) == (ERASED, cast.odile())


def test_the_visit_s_page_tells_what_happened():
    visit = promised(promised(pencilled(), NINE), TEN, why="Ingrid is ill.")
    page = cast.signed_in(cast.odile()).get(reverse("scheduling:visit", args=[visit.pk])).text
    assert "Moved, still promised" in page
    assert "Odile Marsh" in page
    assert "Ingrid is ill." in page


def test_what_the_office_does_on_its_screen_carries_its_name():
    visit = pencilled()
    address = reverse("scheduling:visit-unplace", args=[visit.pk])
    cast.signed_in(cast.odile()).post(address)
    assert told(visit)[-1] == (State.PENCILLED, State.OWED, "odile")
