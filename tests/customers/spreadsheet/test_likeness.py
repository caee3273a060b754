from dataclasses import replace

import pytest

from customers.spreadsheet.likeness import KnownHome, alike_names, door_key, find_likeness
from customers.spreadsheet.streets import divided_street, house_number


@pytest.fixture
def rows(clean):
    """Clean rows numbered from 2, each a plain one with some cells changed."""

    def numbered(*changes):
        return [replace(clean(**c), row=n) for n, c in enumerate(changes, start=2)]

    return numbered


ANA = KnownHome(
    key=7,
    customer_key=3,
    name="Ana Ortiz",
    phones=frozenset({"+14145550143"}),
    email="ana@example.com",
    street="214 Oak St",
    unit="",
    zip="53202",
)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("214 North Oak Street", ""), ("214 n. oak st.", "")),
        (("214 Oak Avenue", "Apt. 2"), ("214 OAK AVE", "#2")),
        (("9 Saint Paul Road", "Unit B"), ("9 St. Paul Rd", "apt b")),
    ],
)
def test_two_spellings_of_one_door_have_one_key(one, other):
    assert door_key(*one, "53202") == door_key(*other, "53202")


def test_neighbours_have_different_doors():
    assert door_key("214 Oak St", "", "53202") != door_key("216 Oak St", "", "53202")
    assert door_key("214 Oak St", "Apt 1", "53202") != door_key("214 Oak St", "Apt 2", "53202")


@pytest.mark.parametrize(
    ("line", "divided"),
    [
        ("214 Oak St Apt 2", ("214 Oak St", "Apt 2")),
        ("214 Oak St, Unit B", ("214 Oak St", "Unit B")),
        ("214 Oak St #4", ("214 Oak St", "#4")),
        ("214 Oak St Upper", ("214 Oak St", "Upper")),
        ("214 Unity Lane", ("214 Unity Lane", "")),
        ("12 Lotus Court", ("12 Lotus Court", "")),
    ],
)
def test_the_unit_is_told_from_the_street(line, divided):
    assert divided_street(line) == divided


def test_the_grid_numbers_of_waukesha_county_are_house_numbers():
    assert house_number("W156 N8480 PILGRIM RD") == "W156 N8480"


def test_the_order_of_a_name_does_not_matter():
    assert alike_names("Ortiz, Ana", "Ana Ortiz") == 100
    assert alike_names("Ana Ortiz", "Ana Ortis") > 80
    assert alike_names("Ana Ortiz", "Ben Weiss") < 65


def test_two_rows_with_different_systems_are_one_home(rows):
    found = find_likeness(rows({"Serial": "A1"}, {"System": "furnace", "Serial": "F1"}), [])

    assert found.second_systems == {3: 2}
    assert not found.offers
    assert not found.repeated


def test_two_like_systems_are_told_apart_by_their_serials(rows):
    found = find_likeness(rows({"Serial": "A1"}, {"Serial": "A2"}), [])

    assert found.second_systems == {3: 2}


def test_two_rows_for_one_home_and_system_are_refused(rows):
    twice = rows({"Serial": "A 1"}, {"Street": "214 oak st.", "Serial": "a1"})

    (refusal,) = find_likeness(twice, []).repeated

    assert (refusal.row, refusal.code) == (3, "same_row_twice")
    assert "two rows for one home and system: row 2" in refusal.reason


def test_a_third_row_that_repeats_the_second_system_is_refused(rows):
    found = find_likeness(rows({}, {"System": "furnace"}, {"System": "gas furnace"}), [])

    assert found.second_systems == {3: 2}
    assert [refusal.row for refusal in found.repeated] == [4]


def test_a_slip_in_the_street_is_offered_as_one_home(rows):
    found = find_likeness(rows({"Street": "214 Larkspur Lane"}, {"Street": "214 Larkspr Ln"}), [])

    (offer,) = found.offers
    assert (offer.row, offer.other_row, offer.what) == (3, 2, "home")
    assert offer.score > 90
    assert "nearly the same address" in offer.reason


def test_the_house_next_door_is_not_offered(rows):
    doors = rows({"Street": "214 Larkspur Ln"}, {"Street": "216 Larkspur Ln"})

    assert find_likeness(doors, []).offers == ()


def test_another_name_at_the_same_door_is_offered_never_merged(rows):
    found = find_likeness(rows({}, {"Name": "Ben Weiss"}), [])

    assert [(offer.what, offer.other_row) for offer in found.offers] == [("home", 2)]
    assert found.second_systems == {}


def test_one_customer_with_two_homes_is_offered_as_one_customer(rows):
    phone = {"Phone": "414-555-0143"}

    (offer,) = find_likeness(rows(phone, phone | {"Street": "9 Elm St"}), []).offers

    assert (offer.what, offer.other_row) == ("customer", 2)
    assert "the same phone, another address" in offer.reason


def test_strangers_are_left_alone(rows):
    found = find_likeness(rows({}, {"Name": "Ben Weiss", "Street": "9 Elm St"}), [])

    assert (found.offers, found.repeated) == ((), ())
    assert (found.second_systems, found.on_file) == ({}, {})


def test_a_row_finds_its_own_home_on_file(rows):
    found = find_likeness(rows({"Name": "Ortiz, Ana"}), [ANA])

    assert found.on_file == {2: ANA}
    assert found.offers == ()


def test_a_second_system_of_a_home_on_file_belongs_to_the_row_above(rows):
    found = find_likeness(rows({}, {"System": "furnace"}), [ANA])

    assert found.on_file == {2: ANA}
    assert found.second_systems == {3: 2}


def test_another_name_at_a_door_on_file_is_offered_with_that_home(rows):
    (offer,) = find_likeness(rows({"Name": "Ben Weiss"}), [ANA]).offers

    assert (offer.known, offer.other_row) == (ANA, None)
    assert "a home on file" in offer.reason


def test_an_email_on_file_at_another_address_is_offered_as_one_customer(rows):
    (offer,) = find_likeness(rows({"Street": "9 Elm St", "Email": "ANA@example.com"}), [ANA]).offers

    assert (offer.what, offer.known) == ("customer", ANA)
