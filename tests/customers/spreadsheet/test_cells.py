from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from customers.spreadsheet.cells import (
    read_emails,
    read_price,
    read_yes_no,
    tidy,
    without_formula,
)
from customers.spreadsheet.outcomes import CellRefused
from customers.spreadsheet.phones import read_phones, take_phones


def code_of(reader, text):
    with pytest.raises(CellRefused) as refused:
        reader(text)
    return refused.value.code


def test_odd_spaces_and_unseen_letters_go():
    assert tidy("\ufeff Ana\u00a0\u200b  Ortiz\t\r\n\x00 ") == "Ana Ortiz"


def test_two_ways_to_store_an_accent_become_one():
    assert tidy("Zoe\u0308") == "Zoë"


@given(st.text())
def test_tidying_twice_changes_nothing_more(text):
    assert tidy(tidy(text)) == tidy(text)


def test_a_number_in_a_formula_shell_is_taken_out_of_it():
    assert without_formula('="53202"') == "53202"
    assert without_formula('="6"" main"') == '6" main'


@pytest.mark.parametrize("text", ["=A1&B1", '="a"&"b"', "=", '=HYPERLINK("http://x")'])
def test_every_other_formula_is_refused(text):
    assert code_of(without_formula, text) == "formula"


def test_an_error_of_the_spreadsheet_is_refused_by_its_name():
    assert code_of(without_formula, "#N/A") == "cell_error"


@pytest.mark.parametrize(
    ("text", "price"),
    [("$189.00", "189.00"), ("189", "189.00"), ("1,189.5", "1189.50"), ("$ 189 ", "189.00"),
     ("189.", "189.00"), ("189 USD", "189.00"), ("0", "0.00")],
)  # fmt: skip
def test_a_price_is_read_to_the_cent(text, price):
    assert read_price(text) == Decimal(price)


@pytest.mark.parametrize(
    ("text", "code"),
    [("189.995", "price_decimals"), ("189.000", "price_decimals"), ("call", "price_unreadable"),
     ("-5", "price_unreadable"), ("1,89", "price_unreadable"), ("10001", "price_out_of_range"),
     ("٣", "price_unreadable")],
)  # fmt: skip
def test_what_is_no_price_is_refused(text, code):
    assert code_of(read_price, text) == code


@given(st.decimals(min_value=0, max_value=10_000, places=2))
def test_a_price_survives_being_written_and_read(price):
    assert read_price(f"${price:,.2f}") == price


def test_several_addresses_in_one_cell_are_all_read():
    assert read_emails("Ana@Example.COM; b@example.org") == ["Ana@example.com", "b@example.org"]


@pytest.mark.parametrize("text", ["ana", "ana@example", "a..b@example.com", "ana@@example.com"])
def test_what_is_no_address_is_refused(text):
    assert code_of(read_emails, text) == "email_invalid"


def test_yes_and_no_in_the_usual_signs():
    assert [read_yes_no(sign) for sign in ("Y", "x", "TRUE", "1", "✓")] == [True] * 5
    assert [read_yes_no(sign) for sign in ("N", "no", "False", "0")] == [False] * 4
    assert code_of(read_yes_no, "maybe") == "yes_no_unreadable"


@pytest.mark.parametrize(
    "text", ["414-555-0143", "(414) 555-0143", "414.555.0143", "1 414 555 0143", "+14145550143"]
)
def test_one_phone_in_every_form(text):
    assert [phone.e164 for phone in read_phones(text)] == ["+14145550143"]


def test_two_phones_and_an_extension_in_one_cell():
    first, second = read_phones("414-555-0143 x12 / 262-555-0199")

    assert (first.e164, first.extension, second.e164) == ("+14145550143", "12", "+12625550199")


@pytest.mark.parametrize("text", ["555-0143", "call first", "414-055-0143", "12345"])
def test_what_is_no_phone_is_refused(text):
    assert code_of(read_phones, text) == "phone_invalid"


def test_a_phone_is_taken_out_of_other_words():
    phones, rest = take_phones("Ana Ortiz (cell) 414-555-0143")

    assert [phone.e164 for phone in phones] == ["+14145550143"]
    assert rest == "Ana Ortiz (cell)"


@given(st.sampled_from(["414", "262", "312"]), st.integers(100, 199))
def test_a_phone_survives_being_written_and_read(area, last):
    digits = f"{area}5550{last}"
    forms = (digits, f"({area}) 555-0{last}", f"+1{digits}", f"{area}.555.0{last}")

    assert {read_phones(form)[0].e164 for form in forms} == {f"+1{digits}"}
