"""Making an agreement for a home."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.models import Agreement
from customers.models import Home
from tests import cast, factories

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_spring")]


@pytest.fixture
def _in_spring():
    with time_machine.travel(dt.datetime(2027, 4, 1, 12, tzinfo=dt.UTC)):
        yield


def send(home: Home, user=None, **changes: object):
    entry = {
        "plan": cast.spring_check().pk,
        "starts_on": "2027-04-01",
        "systems": [system.pk for system in home.systems.all()],
        "price": "",
        "renews": "on",
    }
    browser = cast.signed_in(user or cast.odile())
    return browser.post(reverse("agreements:new", args=[home.pk]), entry | changes)


def test_it_begins_a_term_and_owes_its_visit():
    home = cast.noras_home()

    page = send(home)

    agreement = home.agreements.get()
    assert page.url == reverse("customers:home", args=[home.pk])
    assert (agreement.starts_on, agreement.ends_on) == (dt.date(2027, 4, 1), dt.date(2028, 3, 31))
    assert agreement.owed_visits.count() == 1


def test_without_a_price_the_plan_says_it():
    home = cast.noras_home()
    factories.SystemFactory(home=home)

    send(home)

    assert home.agreements.get().price == Decimal("238.00")


def test_a_price_of_its_own_is_kept():
    home = cast.noras_home()

    send(home, price="120")

    assert home.agreements.get().price == 120


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"plan": ""}, "required"),
        ({"starts_on": "1899-01-01"}, "The first day lies between January 1, 1990"),
        ({"starts_on": "2030-01-01"}, "and April 1, 2028"),
        ({"starts_on": "soon"}, "Enter a valid date"),
        ({"systems": []}, "Choose at least one system"),
        ({"price": "-5"}, "greater than or equal to 0"),
        ({"price": "1000000000"}, "no more than 8 digits"),
    ],
)
def test_a_wrong_entry_is_named(changes, words):
    page = send(cast.noras_home(), **changes)

    assert page.status_code == 422
    assert words in page.text
    assert not Agreement.objects.exists()


def test_one_plan_does_not_run_twice_for_the_same_system():
    home = cast.noras_home()
    send(home)

    page = send(home, starts_on="2027-10-01")

    assert "runs here already, April 1, 2027 to March 31, 2028" in page.text
    assert Agreement.objects.count() == 1


def test_another_system_may_have_an_agreement_of_its_own():
    home = cast.noras_home()
    send(home)
    heat_pump = factories.SystemFactory(home=home)

    send(home, starts_on="2027-04-02", systems=[heat_pump.pk])

    assert Agreement.objects.count() == 2


def test_systems_and_plans_of_others_are_not_for_sale_here():
    home = cast.noras_home()
    foreign_system = factories.SystemFactory()
    foreign_plan = factories.PlanFactory(branch=cast.sheboygan())

    assert send(home, systems=[foreign_system.pk]).status_code == 422
    assert send(home, plan=foreign_plan.pk).status_code == 422


def test_without_a_plan_it_says_what_to_do():
    address = reverse("agreements:new", args=[cast.noras_home().pk])

    assert "No plan to sell yet" in cast.signed_in(cast.odile()).get(address).text


def test_neither_a_technician_nor_another_branch_sells_it():
    home = cast.noras_home()

    assert send(home, cast.ingrid().user).status_code == 404
    assert send(home, cast.priya()).status_code == 404


def test_a_stranger_is_asked_to_sign_in(client):
    address = reverse("agreements:new", args=[cast.noras_home().pk])

    assert client.get(address).url.startswith(reverse("front:sign-in"))


def test_it_knows_no_other_method_and_costs_few_queries(django_assert_num_queries):
    home, _ = cast.noras_home(), cast.spring_check()
    address = reverse("agreements:new", args=[home.pk])
    browser = cast.signed_in(cast.odile())

    assert browser.delete(address).status_code == 405
    # Session, person, branch; home; is there a plan, the plans (twice); the systems (twice).
    with django_assert_num_queries(9):
        assert browser.get(address).status_code == 200
