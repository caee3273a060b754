"""The page of one home."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.actions import close_owed_visit, make_agreement
from scheduling.models import State
from tests import cast, factories

pytestmark = pytest.mark.django_db


def page_of(home, user=None):
    browser = cast.signed_in(user or cast.odile())
    return browser.get(reverse("customers:home", args=[home.pk]))


def agreed(home):
    return make_agreement(
        home=home,
        plan=cast.spring_check(),
        starts_on=cast.FIRST_DAY,
        systems=home.systems.all(),
    )


def test_it_shows_who_where_and_what_stands_there():
    home = cast.noras_home()

    words = page_of(home).text

    for fact in ("Nora Whitfield", "14 Alder Court", "(414) 555-0123", "Northwind", "16x25"):
        assert fact in words


def test_it_says_that_an_owed_visit_is_in_no_season():
    home = cast.noras_home()
    agreed(home)

    assert "in no season yet" in page_of(home).text


def test_it_shows_the_slot_on_the_clock_of_the_branch():
    home = cast.noras_home()
    starts_at = dt.datetime(2027, 4, 12, 15, 30, tzinfo=dt.UTC)
    factories.VisitFactory(
        owed_visit=agreed(home).owed_visits.get(),
        state=State.PENCILLED,
        technician=cast.ingrid(),
        starts_at=starts_at,
        ends_at=starts_at + dt.timedelta(hours=1),
    )

    words = page_of(home).text

    assert "Mon, Apr 12, 2027, 10:30" in words
    assert "Ingrid Solberg" in words


def test_it_says_why_a_visit_has_no_slot():
    home = cast.noras_home()
    visit = factories.VisitFactory(
        owed_visit=agreed(home).owed_visits.get(),
        state=State.HELD,
        held_since=dt.datetime(2027, 3, 3, tzinfo=dt.UTC),
        why="no warm half day that suits",
        release="a warm morning",
    )

    words = page_of(home).text

    assert "no warm half day that suits" in words
    assert reverse("scheduling:visit", args=[visit.pk]) in words


def test_a_done_visit_says_so_with_its_day():
    home = cast.noras_home()
    owed = agreed(home).owed_visits.get()
    close_owed_visit(owed=owed, closed="done", on=dt.date(2027, 4, 20))

    assert "Apr 20, 2027" in page_of(home).text


def test_a_home_without_a_place_says_that_it_cannot_be_planned():
    home = factories.HomeFactory(nowhere=True, customer=cast.nora())

    assert "no visit to it can be planned" in page_of(home).text


@time_machine.travel(dt.datetime(2027, 4, 1, 12, tzinfo=dt.UTC))
def test_the_running_term_can_be_renewed_and_the_next_one_not_yet():
    home = cast.noras_home()
    agreement = agreed(home)
    renew = reverse("agreements:renew", args=[agreement.pk])
    browser = cast.signed_in(cast.odile())

    assert renew in page_of(home).text
    browser.post(renew)

    assert "/renew/" not in page_of(home).text


def test_a_technician_has_her_own_day_instead():
    """Gate codes are for the office, and for whoever drives there that day."""
    assert page_of(cast.noras_home(), cast.ingrid().user).status_code == 404


def test_another_branch_does_not_find_it():
    assert page_of(cast.noras_home(), cast.priya()).status_code == 404


def test_a_stranger_is_asked_to_sign_in(client):
    address = reverse("customers:home", args=[cast.noras_home().pk])

    assert client.get(address).url.startswith(reverse("front:sign-in"))


def test_it_is_only_looked_at():
    address = reverse("customers:home", args=[cast.noras_home().pk])

    assert cast.signed_in(cast.odile()).post(address).status_code == 405


def test_many_systems_and_terms_cost_no_more_queries(django_assert_num_queries):
    home = cast.noras_home()
    for year in range(2020, 2027):
        system = factories.SystemFactory(home=home)
        factories.FilterFactory(system=system)
        make_agreement(
            home=home, plan=cast.spring_check(), starts_on=dt.date(year, 1, 1), systems=[system]
        )
    browser = cast.signed_in(cast.odile())

    with django_assert_num_queries(12):
        assert browser.get(reverse("customers:home", args=[home.pk])).status_code == 200
