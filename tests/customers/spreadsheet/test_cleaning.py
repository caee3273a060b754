import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from customers.spreadsheet.cleaning import clean_row, clean_sheet
from customers.spreadsheet.columns import Matching
from customers.spreadsheet.facts import CleanRow, FilterFacts
from customers.spreadsheet.fields import FIELDS
from customers.spreadsheet.reading import Sheet, SheetRow

TODAY = dt.date(2027, 3, 1)
EVERY_FIELD = Matching(tuple(field.label for field in FIELDS), tuple(field.id for field in FIELDS))
# Any text, and text near what the readers look for.
cells = st.text(max_size=30) | st.from_regex(
    r'(="?|R-?|\$)?[0-9]{0,5}([-/x., ]|AM|Mon|Apr|#){0,3}[0-9]{0,4}"?', fullmatch=True
)


def notes(row):
    return [(note.column, note.words) for note in row.notes]


def test_a_plain_row_becomes_facts_in_the_domains_own_types(clean):
    row = clean(Price="$189.00", Phone="(414) 555-0143", Serial=" 1409\u00a022817 ")

    assert row.customer.phone == "+14145550143"
    assert row.agreement.started_on == dt.date(2026, 6, 1)
    assert row.agreement.price == Decimal("189.00")
    assert row.systems[0].serial == "1409 22817"


def test_a_home_without_a_point_lies_in_the_middle_of_its_zip(clean):
    home = clean().home

    assert home.precision == "zip"
    assert (home.latitude, home.longitude) == (43.0506, -87.8968)


def test_a_phone_in_the_name_is_moved_and_noted(clean):
    row = clean(Name="Ana Ortiz 414-555-0143")

    assert (row.customer.name, row.customer.phone) == ("Ana Ortiz", "+14145550143")
    assert notes(row) == [
        ("Name", "a phone number stood in the name; it was moved to the phone."),
    ]


def test_more_phones_than_two_and_more_addresses_than_one_are_kept_as_notes(clean):
    row = clean(
        Phone="414-555-0143 x7, 414-555-0144, 414-555-0145", Email="a@example.com b@example.com"
    )

    assert row.customer.second_phone == "+14145550144"
    assert row.customer.notes.splitlines() == [
        "Phone +14145550143 has extension 7",
        "Also phone +14145550145",
        "Also e-mail b@example.com",
    ]


def test_a_missing_zip_is_filled_where_the_town_has_just_one(clean):
    row = clean(City="Cedarburg", ZIP="")

    assert row.home.zip == "53012"
    assert notes(row) == [("ZIP", "the ZIP was missing; 53012 is the only one of that town.")]


def test_a_missing_zip_of_a_town_with_several_is_refused_and_names_them(clean):
    (refusal,) = clean(City="Mequon", ZIP="")

    assert str(refusal) == ("Row 2, ZIP: there is no ZIP, and Mequon, WI has 53092, 53097.")


@pytest.mark.parametrize(
    ("text", "digits"),
    [("53202-1234", "53202"), ("532021234", "53202"), ('="53202"', "53202"), ("53202.0", "53202")],
)
def test_a_zip_in_every_form(clean, text, digits):
    assert clean(ZIP=text).home.zip == digits


def test_a_leading_zero_that_the_spreadsheet_ate_returns(clean):
    assert clean(City="Cambridge", State="MA", ZIP="2139").home.zip == "02139"


def test_a_missing_city_and_state_come_from_the_zip(clean):
    home = clean(City="", State="").home

    assert (home.city, home.state) == ("Milwaukee", "WI")


def test_another_towns_name_is_kept_and_noted(clean):
    row = clean(City="Brookfield")

    assert row.home.city == "Brookfield"
    assert notes(row) == [("City", "the post office calls 53202 Milwaukee.")]


def test_a_point_pasted_into_one_cell_is_divided(clean):
    home = clean(Latitude="43.0515, -87.9001", Longitude="").home

    assert (home.latitude, home.longitude, home.precision) == (43.0515, -87.9001, "exact")


def test_a_longitude_without_its_minus_is_west_and_noted(clean):
    row = clean(Latitude="43.0515", Longitude="87.9001")

    assert row.home.longitude == -87.9001
    assert notes(row)[0][0] == "Longitude"


def test_the_unit_is_taken_off_the_street(clean):
    home = clean(Street="214 Oak Street, Apt 2").home

    assert (home.street, home.unit) == ("214 Oak Street", "Apt 2")


def test_two_systems_in_one_cell_become_two(clean):
    row = clean(System="AC & furnace", Serial="S1")

    assert [(s.kind, s.serial) for s in row.systems] == [("air_conditioner", "S1"), ("furnace", "")]


def test_pets_and_dogs_in_words(clean):
    home = clean(Pets="2 cats", Dog="yes, friendly").home

    assert (home.pets, home.dog, home.access_notes) == (True, "yes, friendly", "Pets: 2 cats")
    assert clean(Pets="", Dog="no").home.pets is None
    assert clean(Pets="none", Dog="none").home.dog == ""


def test_days_and_half_are_joined(clean):
    assert clean(**{"Days": "Mon, Tue", "AM/PM": "AM"}).home.halves.words() == "Mon, Tue mornings"
    assert clean(Days="").home.halves is None


def test_the_filter_comes_from_one_column_or_two(clean):
    one = clean(**{"Filter size": "16x25x1"}).systems[0].filter
    two = clean(**{"Filter size": "16x25", "Filter thickness": "1"}).systems[0].filter

    assert one == two == FilterFacts("16x25", Decimal(1))


def test_a_word_for_not_known_is_nothing(clean):
    system = clean(Brand="N/A", Installed="unknown", Refrigerant="?").systems[0]

    assert (system.brand, system.installed_year, system.refrigerant) == ("", None, "")


def test_a_leap_day_may_begin_an_agreement(clean):
    assert clean(Start="2/29/2024").agreement.started_on == dt.date(2024, 2, 29)


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"Price": "189.995"}, "price_decimals"),
        ({"Start": "13/04/2026"}, "date_impossible"),
        ({"Start": "1/1/2040"}, "date_out_of_range"),
        ({"Start": "=TODAY()"}, "formula"),
        ({"ZIP": "60601"}, "zip_not_in_state"),
        ({"ZIP": "99999"}, "zip_unknown"),
        ({"ZIP": "5320"}, "zip_unknown"),
        ({"ZIP": "09001", "State": ""}, "not_in_united_states"),
        ({"State": "ON"}, "not_in_united_states"),
        ({"ZIP": "K1A 0B1", "State": ""}, "not_in_united_states"),
        ({"Country": "Canada"}, "not_in_united_states"),
        ({"Street": "P.O. Box 9"}, "post_box"),
        ({"Email": "ana at example.com"}, "email_invalid"),
        ({"Phone": "555-0143"}, "phone_invalid"),
        ({"Name": ""}, "missing"),
        ({"Name": "x" * 121}, "too_long"),
        ({"Plan": ""}, "missing"),
        ({"System": "unknown"}, "missing"),
        ({"Latitude": "43.05"}, "point_half"),
        ({"Latitude": "-87.9", "Longitude": "43.05"}, "point_far_from_zip"),
        ({"Latitude": "north", "Longitude": "west"}, "point_unreadable"),
        ({"Filter size": "16x25x1", "Filter thickness": "4"}, "thickness_twice"),
        ({"Days": "Mon AM", "AM/PM": "PM"}, "no_half_left"),
    ],
)
def test_it_refuses_one_cell_and_names_its_column(codes, changed, code):
    ((column, found),) = codes(**changed)

    assert found == code
    assert column in changed or column == "Longitude"


def test_a_refusal_repeats_the_value_and_says_what_is_allowed(clean):
    (refusal,) = clean(Price="189.995")

    assert (refusal.row, refusal.column, refusal.value) == (2, "Price", "189.995")
    assert "at most two" in refusal.reason


def test_all_refusals_of_a_row_come_at_once_in_the_order_of_the_columns(codes):
    found = codes(Start="soon", Plan="gold", Name="")

    assert [column for column, _ in found] == ["Name", "Plan", "Start"]


def test_a_row_wider_than_the_headings_is_refused():
    matching = Matching(("Name",), ("name",))

    first, *_ = clean_row(SheetRow(7, ("Ana", "oops")), matching, today=TODAY)

    assert (first.row, first.code, first.value) == (7, "row_too_wide", "oops")


@given(st.lists(cells, min_size=len(FIELDS), max_size=len(FIELDS) + 1))
def test_it_never_raises_whatever_stands_in_a_row(texts):
    outcome = clean_row(SheetRow(2, tuple(texts)), EVERY_FIELD, today=TODAY)

    assert isinstance(outcome, CleanRow) or len(outcome) > 0


@given(st.sampled_from([field.id for field in FIELDS]), cells)
def test_one_odd_cell_is_read_or_refused_never_lost(field_id, text):
    plain = {"name": "Ana", "street": "1 Oak St", "zip": "53202", "plan": "annual"}
    plain |= {"started_on": "6/1/2026", "system_kind": "AC", field_id: text}
    row = SheetRow(2, tuple(plain.get(field.id, "") for field in FIELDS))

    sheet = clean_sheet(Sheet(EVERY_FIELD.headers, (row,)), EVERY_FIELD, today=TODAY)

    assert bool(sheet.rows) != bool(sheet.refusals)
