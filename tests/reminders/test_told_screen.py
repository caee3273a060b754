"""With the customer on the line the office notes what was done."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from letters.models import Letter, LetterState
from reminders.actions.decide import decide_reminders
from reminders.models import HomeEvent, ToldBy
from tests import cast, factories
from tests.reminders import year
from tests.reminders.year import MAY, MAY_MORNING

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_may")]
EARLIER = dt.date(2027, 5, 10)


@pytest.fixture
def _in_may():
    with time_machine.travel(MAY_MORNING):
        yield


def address(home) -> str:
    return reverse("reminders:told", args=[home.pk])


def tell(home, done: str, on: object = MAY):
    sent = {"done": done, "on": on}
    return cast.signed_in(cast.odile()).post(address(home), sent, follow=True)


def filter_key(home) -> str:
    return f"filter:{year.filter_of(home).pk}"


def decided(day: dt.date = MAY) -> None:
    now = dt.datetime.combine(day, dt.time(11, 30), dt.UTC)
    decide_reminders(branch=cast.cedarburg(), today=day, now=now)


def test_it_shows_the_filter_and_since_when_it_is_in():
    page = cast.signed_in(cast.odile()).get(address(year.noras_home()))

    assert "16x25x1" in page.text
    assert "in since Apr 1, 2027" in page.text
    assert 'value="2027-05-13"' in page.text


def test_the_home_leads_to_it():
    home = year.noras_home()
    page = cast.signed_in(cast.odile()).get(reverse("customers:home", args=[home.pk]))

    assert address(home) in page.text


def test_a_filter_changed_on_an_earlier_day_runs_from_that_day():
    home = year.noras_home()

    page = tell(home, filter_key(home), EARLIER)

    assert "Noted: filter changed on May 10." in page.text
    assert year.filter_of(home).last_changed_on == EARLIER
    assert HomeEvent.objects.get().by == ToldBy.OFFICE


def test_the_letter_that_still_waits_is_taken_back_and_counts_for_nothing():
    home = year.noras_home()
    decided()

    tell(home, filter_key(home), EARLIER)
    decided(dt.date(2027, 6, 21))

    first, second = Letter.objects.filter(kind="filter").order_by("pk")
    assert (first.state, first.trouble) == (LetterState.WITHDRAWN, "the customer has done it")
    assert "in since May 10, 2027" in second.facts["why"]


def test_the_letter_of_another_filter_stays():
    home = year.noras_home()
    factories.FilterFactory(
        system=home.systems.last(), size="20x20", last_changed_on=dt.date(2027, 4, 1)
    )
    decided()

    tell(home, f"filter:{home.systems.last().filters.last().pk}")

    states = Letter.objects.filter(kind="filter").order_by("pk").values_list("state", flat=True)
    assert sorted(states) == ["waiting", "withdrawn"]


def test_a_change_of_long_ago_takes_no_letter_back():
    home = year.noras_home()
    decided()

    tell(home, filter_key(home), dt.date(2027, 4, 10))

    assert Letter.objects.get(kind="filter").state == LetterState.WAITING


def test_the_cover_is_noted_off_and_its_letter_taken_back():
    home = year.noras_home(winter_cover=True)
    decided(dt.date(2027, 4, 27))

    page = tell(home, "cover_off")

    assert "Cover taken off, told to the office" in page.text
    assert Letter.objects.get(kind="cover_off").state == LetterState.WITHDRAWN


@pytest.mark.parametrize(
    ("done", "on", "words"),
    [
        ("filter", "2027-05-14", "Choose today or a day of the past year."),
        ("filter", "soon", "Write the day like 2027-04-15."),
        ("filter", "", "Choose the day on which it was done."),
        ("cover_off", "2027-05-13", "Press one of the buttons below."),
        ("filter:0", "2027-05-13", "Press one of the buttons below."),
    ],
)
def test_nonsense_is_refused_with_what_is_allowed_and_kept_on_the_page(done, on, words):
    home = year.noras_home()

    page = tell(home, filter_key(home) if done == "filter" else done, on)

    assert page.status_code == 422
    assert words in page.text
    assert not HomeEvent.objects.exists()
    assert not on or f'value="{on}"' in page.text


def test_a_home_with_nothing_to_tell_says_what_to_do():
    year.branch()
    home = factories.HomeFactory(customer__branch=cast.cedarburg())

    page = cast.signed_in(cast.odile()).get(address(home))

    assert "No filter and no winter cover on file" in page.text


def test_a_technician_has_no_such_screen():
    home = year.noras_home()

    assert cast.signed_in(cast.ingrid().user).get(address(home)).status_code == 404


def test_another_branch_sees_and_tells_nothing():
    home = year.noras_home()
    browser = cast.signed_in(cast.priya())

    assert browser.get(address(home)).status_code == 404
    sent = {"done": filter_key(home), "on": MAY}
    assert browser.post(address(home), sent).status_code == 404
    assert not HomeEvent.objects.exists()


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(address(year.noras_home())).url.startswith(reverse("front:sign-in"))


def test_it_is_looked_at_or_sent_and_nothing_else():
    browser = cast.signed_in(cast.odile())

    assert browser.delete(address(year.noras_home())).status_code == 405


def test_many_filters_and_events_cost_no_more_queries_than_one():
    home = year.noras_home()
    browser = cast.signed_in(cast.odile())
    with CaptureQueriesContext(connection) as few:
        browser.get(address(home))
    for days in range(20):
        filter_ = factories.FilterFactory(system=home.systems.first())
        home.events.create(
            kind="filter_changed", filter=filter_, told_at=MAY_MORNING,
            on=MAY - dt.timedelta(days=days),
        )  # fmt: skip
    with CaptureQueriesContext(connection) as many:
        browser.get(address(home))

    assert len(many) == len(few)
