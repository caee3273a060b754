"""The home's own page, which a customer opens from a letter."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from customers.models import Customer, Filter
from letters.links import revoke_links
from letters.models import Letter, LetterState, Link
from reminders.actions.decide import decide_reminders
from reminders.models import HomeEvent
from reminders.reading import about_home
from tests import cast, factories
from tests.reminders import year
from tests.reminders.year import MAY, MAY_MORNING

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_may")]


@pytest.fixture
def _in_may():
    with time_machine.travel(MAY_MORNING):
        yield


def visit_of(home, state):
    return factories.VisitFactory(
        owed_visit=home.agreements.get().owed_visits.get(), state=state,
        technician=cast.ingrid(), starts_at=dt.datetime(2027, 5, 20, 15, tzinfo=dt.UTC),
        ends_at=dt.datetime(2027, 5, 20, 16, tzinfo=dt.UTC),
    )  # fmt: skip


def test_it_shows_the_filter_what_comes_and_whom_to_call(client):
    page = client.get(year.address(year.noras_home()))

    for words in ("14 Alder Court", "Filter 16x25x1", "In since April 1, 2027", "(414) 555-0100"):
        assert words in page.text
    assert "Rinse the outdoor unit" in page.text


def test_it_says_why_a_reminder_comes(client):
    home = year.noras_home(pets=True)
    Filter.objects.update(last_changed_on=dt.date(2027, 5, 1))

    assert "because of pets in the home" in client.get(year.address(home)).text


def test_opening_it_changes_nothing(client):
    home = year.noras_home()
    address = year.address(home)
    before = Link.objects.count()

    client.get(address)

    assert (HomeEvent.objects.count(), Link.objects.count()) == (0, before)
    assert year.filter_of(home).last_changed_on == dt.date(2027, 4, 1)


def test_a_filter_changed_today_runs_from_today(client):
    home = year.noras_home()
    filter_ = year.filter_of(home)

    page = client.post(year.address(home, "filter-changed", filter_.pk), follow=True)

    assert "We have noted that the filter was changed today" in page.text
    assert year.filter_of(home).last_changed_on == MAY
    assert HomeEvent.objects.get().filter == filter_


def test_telling_it_twice_is_told_once(client):
    home = year.noras_home()
    address = year.address(home, "filter-changed", year.filter_of(home).pk)
    client.post(address)
    client.post(address)

    assert HomeEvent.objects.count() == 1


def test_a_letter_that_still_asks_for_the_filter_is_taken_back(client):
    home = year.noras_home()
    decide_reminders(branch=cast.cedarburg(), today=MAY, now=MAY_MORNING)

    client.post(year.address(home, "filter-changed", year.filter_of(home).pk))

    assert Letter.objects.get(kind="filter").state == LetterState.WITHDRAWN


def test_a_filter_of_another_home_cannot_be_told(client):
    home = year.noras_home()
    other = factories.FilterFactory()

    page = client.post(year.address(home, "filter-changed", other.pk))

    assert page.status_code == 404
    assert not HomeEvent.objects.exists()


def test_the_cover_can_be_told_off_and_then_on_again(client):
    home = year.noras_home(winter_cover=True, ice_falls_on_unit=True)

    page = client.post(year.address(home, "cover"), {"kind": "cover_off"}, follow=True)

    assert "Cover taken off" in page.text
    assert "The cover is on" in page.text


def test_nonsense_about_the_cover_is_not_written_down(client):
    home = year.noras_home()

    assert client.post(year.address(home, "cover"), {"kind": "burnt"}).status_code == 302
    assert not HomeEvent.objects.exists()


@pytest.mark.parametrize(
    ("state", "words"),
    [("promised", "Agreed with you."), ("offered", "please answer our letter")],
)
def test_it_shows_the_visit_and_how_it_stands(client, state, words):
    home = year.noras_home()
    visit_of(home, state)

    page = client.get(year.address(home))

    assert "May 20, 2027, 10 a.m." in page.text
    assert words in page.text


def test_a_pencilled_time_is_not_told(client):
    home = year.noras_home()
    visit_of(home, "pencilled")

    page = client.get(year.address(home))

    assert "May 20" not in page.text
    assert "Your check is being planned" in page.text


def test_it_speaks_spanish_to_a_spanish_customer(client):
    home = year.noras_home()
    Customer.objects.update(language="es")

    page = client.get(year.address(home))

    assert '<html lang="es">' in page.text
    for words in ("Lo cambié hoy", "1 de abril de 2027", "El año de su casa"):
        assert words in page.text


def test_without_a_climate_it_still_takes_what_is_told(client):
    home = year.noras_home()
    home.customer.branch.climate.delete()

    assert "I changed it today" in client.get(year.address(home)).text


def altered(address: str) -> str:
    return address.replace("~", "~x")


def test_every_link_that_does_not_work_leads_to_the_same_page_that_tells_nothing(client):
    home = year.noras_home()
    address = year.address(home)
    pages = [client.get(altered(address)), client.get(reverse("reminders:home", args=["1~abc"]))]
    Customer.objects.filter(pk=home.customer_id).update(name="Somebody else")
    Link.objects.update(expires_at=timezone.now() - dt.timedelta(minutes=1))
    pages.append(client.get(address))
    Link.objects.update(expires_at=None)
    revoke_links(about=about_home(home.pk), now=timezone.now())
    pages.append(client.get(address))

    assert {page.status_code for page in pages} == {404}
    assert len({page.text.split("<main")[1] for page in pages}) == 1
    assert "Nora" not in pages[0].text
    assert "Alder" not in pages[0].text


def test_a_link_for_another_purpose_opens_nothing(client):
    home = year.noras_home()
    address = year.address(home)
    Link.objects.update(purpose="stop")

    assert client.get(address).status_code == 404


def test_a_home_that_changed_hands_is_closed_to_its_former_customer(client):
    home = year.noras_home()
    address = year.address(home)
    home.customer = factories.CustomerFactory(branch=cast.cedarburg())
    home.save()

    assert client.get(address).status_code == 404


@pytest.mark.parametrize("page", ["cover", "filter-changed"])
def test_what_is_told_is_sent_not_opened(client, page):
    home = year.noras_home()
    rest = [year.filter_of(home).pk] if page == "filter-changed" else []

    assert client.get(year.address(home, page, *rest)).status_code == 405


def test_the_page_itself_is_only_looked_at(client):
    assert client.post(year.address(year.noras_home())).status_code == 405


def test_it_is_kept_in_no_cache_and_found_by_no_search_engine(client):
    page = client.get(year.address(year.noras_home()))

    assert "no-store" in page.headers["Cache-Control"]
    assert 'content="noindex"' in page.text


def test_a_full_year_costs_no_more_queries_than_a_quiet_one(client, django_assert_max_num_queries):
    home = year.noras_home(winter_cover=True)
    for days in range(30):
        HomeEvent.objects.create(
            home=home, kind="cover_off", told_at=MAY_MORNING, on=MAY - dt.timedelta(days=days)
        )
    address = year.address(home)

    # Link, home; climate; its facts in seven; events, visits, filters, planning; reports.
    with django_assert_max_num_queries(15):
        client.get(address)
