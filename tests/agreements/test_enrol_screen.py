"""Selling an agreement while the customer is on the line."""

from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from agreements.actions.agreeing import sell_agreement
from agreements.actions.events import AgreementRefused
from agreements.models import Agreement
from customers.models import Customer
from letters.models import Letter
from tests import cast, factories
from tests.agreements.sold import NOON, TODAY, sold, spring_check, two_checks

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]
ENROL = reverse("agreements:enrol")
NEW_CUSTOMER = {
    "name": "Ben Castellan", "phone": "414-555-0188", "email": "ben@example.com",
    "language": "en", "street": "9 Birch Lane", "unit": "", "city": "Cedarburg", "state": "WI",
    "zip": "53012", "latitude": "", "longitude": "", "new_systems": ["air_conditioner", "furnace"],
}  # fmt: skip


@pytest.fixture
def _in_july():
    with time_machine.travel(NOON, tick=False):
        yield


def send(query: str, address: str = ENROL, **changes: object):
    entry = {
        "plan": spring_check().pk, "rhythm": "yearly", "starts_on": "2027-07-01", "ends_on": "",
        "price": "", "renews": "on", "signed_by": "", "send": "on",
    }  # fmt: skip
    return cast.signed_in(cast.odile()).post(address + query, entry | changes)


def send_for_nora(**changes: object):
    home = cast.noras_home()
    return send(f"?home={home.pk}", systems=[s.pk for s in home.systems.all()], **changes)


def test_somebody_on_file_is_found_by_a_word():
    home, _ = cast.noras_home(), spring_check()

    page = cast.signed_in(cast.odile()).get(ENROL, {"q": "whitfield"})

    assert f"{ENROL}?home={home.pk}" in page.text


def test_htmx_gets_the_found_ones_alone():
    cast.noras_home()
    spring_check()

    page = cast.signed_in(cast.odile()).get(
        ENROL, {"q": "whitfield"}, headers={"HX-Request": "true"}
    )

    assert page.text.strip().startswith('<section id="found"')


def test_it_sells_to_somebody_on_file_and_sends_it_to_be_signed():
    page = send_for_nora(rhythm="monthly")

    agreement = Agreement.objects.get()
    assert page.url == reverse("agreements:agreement", args=[agreement.pk])
    assert (agreement.price, agreement.charges.count()) == (146, 12)
    assert Letter.objects.get().kind == "agreement_to_sign"


def test_it_enters_customer_home_and_systems_with_the_agreement():
    send("?new=yes", **NEW_CUSTOMER)

    agreement = Customer.objects.get(name="Ben Castellan").homes.get().agreements.get()
    assert agreement.systems.count() == 2
    assert agreement.price == 146 + 89


def test_what_was_signed_on_paper_is_signed():
    send_for_nora(signed_by="Nora Whitfield")

    agreement = Agreement.objects.get()
    assert (agreement.signed_by, agreement.signed_at) == ("Nora Whitfield", NOON)
    assert not Letter.objects.exists()


def test_a_shorter_first_term_costs_a_part_of_the_price():
    send_for_nora(ends_on="2027-12-31")

    agreement = Agreement.objects.get()
    assert agreement.price == Decimal("73.60")  # 184 of 365 days
    assert str(agreement.next_term().starts_on) == "2028-01-01"
    assert not agreement.owed_visits.exists()  # no spring is left in it


def test_the_price_is_said_while_one_speaks():
    home = cast.noras_home()
    address = reverse("agreements:enrol-price")
    systems = [s.pk for s in home.systems.all()]

    words = send(f"?home={home.pk}", address, systems=systems, rhythm="monthly").text

    assert "$146.00" in words
    assert "in 12 parts: first $12.17" in words
    assert not Agreement.objects.exists()


def test_without_a_system_the_price_says_what_is_missing():
    assert "Choose a plan" in send("?new=yes", reverse("agreements:enrol-price")).text


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"systems": [], "new_systems": []}, "Choose at least one system"),
        ({"price": "10.005"}, "no more than 2 decimal places"),
        ({"ends_on": "2027-06-30"}, "The last day lies between July 1, 2027"),
        ({"ends_on": "2028-07-01"}, "and June 30, 2028"),
        ({"starts_on": "2035-01-01"}, "The first day lies between"),
        ({"rhythm": "weekly"}, "not one of the available choices"),
        ({"plan": "0"}, "not one of the available choices"),
    ],
)
def test_a_wrong_entry_is_named_and_nothing_is_written(changes, words):
    home = cast.noras_home()
    systems = {"systems": [s.pk for s in home.systems.all()]}

    page = send(f"?home={home.pk}", **(systems | changes))

    assert page.status_code == 422
    assert words in page.text
    assert not Agreement.objects.exists()


def test_a_new_customer_with_a_wrong_zip_is_not_entered():
    page = send("?new=yes", **NEW_CUSTOMER | {"zip": "1"})

    assert page.status_code == 422
    assert "Ben Castellan" in page.text
    assert not Customer.objects.exists()


def test_all_that_is_to_correct_stands_in_one_list():
    page = send("?new=yes", **NEW_CUSTOMER | {"zip": "1", "price": "10.005"})

    assert page.text.count('class="error-summary"') == 1
    assert "2 things to correct" in page.text
    assert '<a href="#id_zip">ZIP' in page.text
    assert '<a href="#id_price">Price' in page.text


def test_one_system_has_no_two_agreements_for_one_term():
    sold(starts_on=TODAY)

    assert "runs here already" in send_for_nora().text
    assert Agreement.objects.count() == 1


def test_one_system_is_not_sold_the_same_check_twice_by_two_plans():
    sold(starts_on=TODAY)
    other = two_checks()

    assert "runs here already" in send_for_nora(plan=str(other.pk)).text
    assert Agreement.objects.count() == 1


def test_a_heating_plan_may_stand_beside_a_cooling_plan():
    sold(starts_on=TODAY)
    heating = factories.PlanFactory(
        branch=cast.cedarburg(), code="autumn", name="Autumn check", cooling_checks=0,
        heating_checks=1,
    )  # fmt: skip

    send_for_nora(plan=str(heating.pk))

    assert Agreement.objects.count() == 2


def test_of_two_who_sell_at_once_one_is_refused():
    agreement = sold(starts_on=TODAY)

    with pytest.raises(AgreementRefused, match="runs here already"):
        sell_agreement(
            home=agreement.home, plan=agreement.plan, starts_on=TODAY,
            systems=agreement.systems.all(), by=cast.odile(),
        )  # fmt: skip


def test_a_home_of_another_branch_is_not_found():
    foreign = factories.HomeFactory(customer__branch=cast.sheboygan())
    spring_check()

    assert send(f"?home={foreign.pk}").status_code == 404
    assert cast.signed_in(cast.odile()).get(ENROL + "?home=x").status_code == 404


def test_the_page_costs_few_queries(django_assert_num_queries):
    home, _ = cast.noras_home(), two_checks()
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; home; is there a plan, the plans (twice); the systems (twice).
    with django_assert_num_queries(9):
        browser.get(f"{ENROL}?home={home.pk}")
    assert browser.delete(ENROL).status_code == 405
