"""The list of homes, found as one types."""

import pytest
from django.urls import reverse

from agreements.actions import make_agreement
from customers.views.homes import A_PAGE
from tests import cast, factories

pytestmark = pytest.mark.django_db
HOMES = reverse("customers:list")


def many_homes(count: int) -> None:
    branch = cast.cedarburg()
    plan = cast.spring_check()
    for _ in range(count):
        home = factories.HomeFactory(customer__branch=branch)
        system = factories.SystemFactory(home=home)
        make_agreement(
            home=home, plan=plan, starts_on=cast.FIRST_DAY, systems=[system]
        )  # fmt: skip


def test_the_office_finds_a_home_by_the_last_digits_of_a_phone():
    home = cast.noras_home()
    factories.HomeFactory(customer__branch=cast.cedarburg(), customer__name="Ben Castellan")

    page = cast.signed_in(cast.odile()).get(HOMES, {"q": "555-0123"})

    assert reverse("customers:home", args=[home.pk]) in page.text
    assert "Ben Castellan" not in page.text


def test_typing_gets_the_part_that_changed_and_nothing_else():
    cast.noras_home()

    page = cast.signed_in(cast.odile()).get(HOMES, {"q": "whit"}, headers={"HX-Request": "true"})

    assert "Nora Whitfield" in page.text
    assert "<html" not in page.text
    assert "HX-Request" in page.headers["Vary"]


def test_no_home_found_says_what_to_try():
    page = cast.signed_in(cast.odile()).get(HOMES, {"q": "zebra"})

    assert "No home found" in page.text


def test_without_any_home_it_says_how_to_begin():
    assert "No homes yet" in cast.signed_in(cast.odile()).get(HOMES).text


def test_homes_without_a_known_place_can_be_listed_alone():
    cast.noras_home()
    factories.HomeFactory(
        nowhere=True, customer__branch=cast.cedarburg(), customer__name="Ben Castellan"
    )

    page = cast.signed_in(cast.odile()).get(HOMES, {"place": "unknown"})

    assert "Ben Castellan" in page.text
    assert "Nora Whitfield" not in page.text


def test_a_page_number_that_is_none_shows_the_first_page():
    cast.noras_home()

    assert "Nora" in cast.signed_in(cast.odile()).get(HOMES, {"page": "x"}).text


def test_homes_of_another_branch_are_not_listed():
    cast.noras_home()

    assert "Nora" not in cast.signed_in(cast.priya()).get(HOMES).text


def test_a_technician_has_no_list_of_homes():
    assert cast.signed_in(cast.ingrid().user).get(HOMES).status_code == 404


def test_a_stranger_is_asked_to_sign_in(client):
    assert client.get(HOMES).url.startswith(reverse("front:sign-in"))


def test_the_list_is_only_looked_at():
    assert cast.signed_in(cast.odile()).post(HOMES).status_code == 405


def test_a_long_list_costs_no_more_queries_than_a_short_one(django_assert_num_queries):
    many_homes(A_PAGE + 5)
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; the count, the page; systems, agreements, plans, owed visits.
    with django_assert_num_queries(9):
        page = browser.get(HOMES)

    assert page.text.count("<tr>") == A_PAGE + 1
