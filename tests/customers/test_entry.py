"""Entering and changing homes, customers, systems and filters."""

import pytest
from django.urls import reverse

from customers.models import Customer, Home, Precision
from customers.places import place_of_zip
from customers.search import searched
from kit.when import WeekHalves
from tests import cast, factories

pytestmark = pytest.mark.django_db
NEW_HOME = reverse("customers:home-new")
EVERY_HALF = [str(bit) for bit in range(14)]


def an_entry(**changes: object) -> dict:
    """What a complete form sends."""
    return {
        "name": "Ana Ortiz", "language": "en", "phone": "(414) 555-0143", "second_phone": "",
        "email": "ana@example.com", "notes": "", "street": "214 Oak Street", "unit": "",
        "city": "Cedarburg", "state": "WI", "zip": "53012", "latitude": "", "longitude": "",
        "gate_code": "", "dog": "", "access_notes": "", "halves_mask": EVERY_HALF,
    } | dict.fromkeys(("pets", "smokers", "winter_cover"), "unknown") | changes  # fmt: skip


def refused(**changes: object) -> str:
    """The page that a wrong entry gets, with nothing written."""
    page = cast.signed_in(cast.odile()).post(NEW_HOME, an_entry(**changes))
    assert page.status_code == 422
    assert not Home.objects.exists()
    return page.text


def edit(home: Home, **changes: object) -> Home:
    """Change a home by its form and read it again."""
    address = reverse("customers:home-edit", args=[home.pk])
    page = cast.signed_in(cast.odile()).post(address, an_entry(**changes))
    assert page.status_code == 302
    return Home.objects.get(pk=home.pk)


def test_a_new_customer_and_home_are_entered_on_one_page():
    page = cast.signed_in(cast.odile()).post(NEW_HOME, an_entry())

    home = Home.objects.get(customer__branch=cast.cedarburg())
    assert page.url == reverse("customers:home", args=[home.pk])
    assert home.customer.phone == "+14145550143"
    assert home in Home.objects.matching(searched("ortiz 555-0143"))


def test_a_home_without_a_point_stands_in_the_middle_of_its_zip():
    cast.signed_in(cast.odile()).post(NEW_HOME, an_entry())

    home = Home.objects.get()
    middle = place_of_zip("53012")
    assert (home.latitude, home.longitude) == (middle.latitude, middle.longitude)
    assert home.precision == Precision.ZIP


def test_a_point_pasted_from_a_map_is_taken_as_exact():
    cast.signed_in(cast.odile()).post(NEW_HOME, an_entry(latitude="43.2967, -87.9876"))

    home = Home.objects.get()
    assert (home.latitude, home.longitude) == (43.2967, -87.9876)
    assert home.precision == Precision.EXACT


def test_a_point_taken_away_leaves_the_middle_of_the_zip():
    home = edit(cast.noras_home(), street="14 Alder Court")

    assert home.precision == Precision.ZIP


def test_half_days_are_chosen_box_by_box():
    home = edit(cast.noras_home(), halves_mask=["0", "3"])  # Monday morning, Tuesday afternoon

    assert list(home.halves) == [(0, 0), (1, 1)]
    assert home.halves_mask == WeekHalves.of([(0, 0), (1, 1)]).mask


def test_a_state_written_out_and_a_long_zip_are_understood():
    home = edit(cast.noras_home(), state="Wisconsin", zip="53012-1234")

    assert (home.state, home.zip) == ("WI", "53012")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"state": "ON"}, "“ON” is not in the United States"),
        ({"zip": "K1A 0B6"}, "“K1A 0B6” is not in the United States"),
        ({"zip": "5301"}, "five digits"),
        ({"zip": "00000"}, "The ZIP 00000 does not exist"),
        ({"zip": "60601"}, "The ZIP 60601 is in IL, not in WI"),
        ({"latitude": "43.3"}, "Give both latitude and longitude"),
        ({"longitude": "-87.9"}, "Give both latitude and longitude"),
        ({"latitude": "51.5", "longitude": "-0.12"}, "km from the ZIP 53012"),
        ({"latitude": "91", "longitude": "-87"}, "is not in degrees"),
        ({"latitude": "north", "longitude": "-87"}, "is not in degrees"),
        ({"halves_mask": []}, "Leave at least one half day"),
        ({"street": "PO Box 12"}, "A post box has no system"),
        ({"phone": "12"}, "is not a phone number"),
        ({"phone": "414-555-0101, 414-555-0102"}, "Write one number here"),
        ({"phone": "414-555-0101 x5"}, "Leave the extension out"),
        ({"email": "ana at example"}, "Enter a valid email address"),
        ({"name": ""}, "required"),
    ],
)
def test_a_wrong_entry_is_named_by_its_field_and_nothing_typed_is_lost(changes, words):
    page = refused(dog="Bites postmen", **changes)

    assert words in page.replace("&#x27;", "'")
    assert "Bites postmen" in page
    for typed in changes.values():
        assert not isinstance(typed, str) or typed in page


def test_the_same_address_is_not_entered_twice_for_one_customer():
    home = cast.noras_home()
    address = f"{NEW_HOME}?customer={home.customer_id}"

    page = cast.signed_in(cast.odile()).post(address, an_entry(street="14 Alder Court"))

    assert page.status_code == 422
    assert "already has a home at this address" in page.text


def test_a_customer_on_file_gets_another_home():
    nora = cast.noras_home().customer

    cast.signed_in(cast.odile()).post(f"{NEW_HOME}?customer={nora.pk}", an_entry())

    assert nora.homes.count() == 2
    assert Customer.objects.count() == 1


@pytest.mark.parametrize("asked", ["0", "x", "99999999999999999999"])
def test_a_customer_who_is_not_there_is_not_found(asked):
    page = cast.signed_in(cast.odile()).get(f"{NEW_HOME}?customer={asked}")

    assert page.status_code == 404


def test_a_new_name_is_found_at_every_home_of_the_customer():
    home = cast.noras_home()
    factories.HomeFactory(customer=home.customer, street="9 Quarry Road")
    address = reverse("customers:customer-edit", args=[home.pk])

    cast.signed_in(cast.odile()).post(address, an_entry(name="Nora Ng"))

    assert Home.objects.matching("ng").count() == 2
    assert not Home.objects.matching("whitfield").exists()
