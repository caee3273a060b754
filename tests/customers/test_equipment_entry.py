"""Entering and changing systems and filters; who may change what."""

import datetime as dt
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from customers.models import Filter, System
from tests import cast, factories

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_spring")]


@pytest.fixture
def _in_spring():
    with time_machine.travel(dt.datetime(2027, 4, 1, 12, tzinfo=dt.UTC)):
        yield


def send(name: str, pk: int, **entry: object):
    return cast.signed_in(cast.odile()).post(reverse(f"customers:{name}", args=[pk]), entry)


def test_a_system_is_entered_with_what_the_plate_says():
    home = factories.HomeFactory(customer=cast.nora())

    send("system-new", home.pk, kind="heat_pump", tons="2.5", least_test_f="60", serial="A1")

    system = home.systems.get()
    assert (system.kind, system.tons, system.least_test_f) == ("heat_pump", Decimal("2.5"), 60)


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"kind": "toaster"}, "Select a valid choice"),
        ({"tons": "200"}, "0.5 to 20 tons"),
        ({"tons": "0.1"}, "0.5 to 20 tons"),
        ({"least_test_f": "500"}, "At most 75 °F"),
        ({"least_test_f": "5"}, "At least 45 °F"),
        ({"installed_year": "2028"}, "At most 2027"),
        ({"installed_year": "1066"}, "1950"),
        ({"last_checked_on": "2027-04-02"}, "still to come"),
        ({"last_checked_on": "soon"}, "Enter a valid date"),
    ],
)
def test_a_wrong_fact_about_a_system_is_named(entry, words):
    home = factories.HomeFactory(customer=cast.nora())

    page = send("system-new", home.pk, **{"kind": "furnace", "brand": "Northwind"} | entry)

    assert page.status_code == 422
    assert words in page.text
    assert "Northwind" in page.text
    assert not System.objects.exists()


def test_one_serial_stands_in_a_home_once():
    system = factories.SystemFactory(home=cast.noras_home(), serial="A1")

    page = send("system-new", system.home_id, kind="furnace", serial="A1")

    assert "has this serial already" in page.text


def test_a_system_keeps_its_own_serial_when_it_is_changed():
    system = factories.SystemFactory(home=cast.noras_home(), serial="A1")

    send("system-edit", system.pk, kind="air_conditioner", serial="A1", brand="Southwind")

    assert System.objects.get(pk=system.pk).brand == "Southwind"


@pytest.mark.parametrize(
    ("size", "thickness", "kept"),
    [("16x25", "", ("16x25", 1)), ("16x25x4", "", ("16x25", 4)), ("", "5", ("", 5))],
)
def test_a_filter_is_one_inch_thick_unless_something_says_otherwise(size, thickness, kept):
    system = factories.SystemFactory(home=factories.HomeFactory(customer=cast.nora()))

    send("filter-new", system.pk, size=size, thickness_in=thickness, count="1")

    filter_ = system.filters.get()
    assert (filter_.size, filter_.thickness_in) == kept


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"size": "large"}, "is not a filter size in inches"),
        ({"size": "16x25x4", "thickness_in": "1"}, "The size says 4 inches, this says 1"),
        ({"thickness_in": "7"}, "0.5 to 6 inches thick"),
        ({"count": "0"}, "greater than or equal to 1"),
        ({"last_changed_on": "2028-01-01"}, "still to come"),
    ],
)
def test_a_wrong_fact_about_a_filter_is_named(entry, words):
    system = cast.noras_home().systems.get()

    page = send("filter-new", system.pk, **{"size": "16x25", "count": "1"} | entry)

    assert page.status_code == 422
    assert words in page.text
    assert Filter.objects.count() == 1


SCREENS = ["home-edit", "customer-edit", "system-new", "system-edit", "filter-new", "filter-edit"]


def address_of(screen: str) -> str:
    home = cast.noras_home()
    system = home.systems.get()
    pk = {"system-edit": system.pk, "filter-new": system.pk}.get(screen, home.pk)
    pk = system.filters.get().pk if screen == "filter-edit" else pk
    return reverse(f"customers:{screen}", args=[pk])


@pytest.mark.parametrize("screen", SCREENS)
def test_the_office_opens_it_in_few_queries(screen, django_assert_max_num_queries):
    browser, address = cast.signed_in(cast.odile()), address_of(screen)

    with django_assert_max_num_queries(6):
        assert browser.get(address).status_code == 200


@pytest.mark.parametrize("screen", SCREENS)
def test_neither_a_technician_nor_another_branch_changes_anything(screen):
    address = address_of(screen)

    assert cast.signed_in(cast.ingrid().user).post(address).status_code == 404
    assert cast.signed_in(cast.priya()).post(address).status_code == 404


@pytest.mark.parametrize("screen", SCREENS)
def test_a_stranger_is_asked_to_sign_in(screen, client):
    assert client.get(address_of(screen)).url.startswith(reverse("front:sign-in"))


@pytest.mark.parametrize("screen", SCREENS)
def test_it_knows_no_other_method(screen):
    assert cast.signed_in(cast.odile()).delete(address_of(screen)).status_code == 405
