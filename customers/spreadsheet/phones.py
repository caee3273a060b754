"""Phone numbers anywhere in a cell's text, as E.164."""

from __future__ import annotations

from dataclasses import dataclass

from phonenumbers import (
    NumberParseException,
    PhoneNumber,
    PhoneNumberFormat,
    PhoneNumberMatcher,
    format_number,
    is_valid_number,
    parse,
)

from customers.spreadsheet.outcomes import CellRefused

_COUNTRY = "US"
_LEAST_DIGITS = 10


@dataclass(frozen=True, slots=True)
class Phone:
    """A number as +14145550143, and its extension or ""."""

    e164: str
    extension: str = ""


def read_phones(text: str) -> list[Phone]:
    """The numbers of a phone cell, in its order; CellRefused when it holds none."""
    phones, _ = take_phones(text)
    if phones:
        return phones
    try:
        number = parse(text, _COUNTRY)
    except NumberParseException:
        number = None
    if number is None or not is_valid_number(number):
        raise CellRefused(
            "phone_invalid",
            f"“{text}” is not a phone number; write ten digits with the area code.",
        )
    return [_phone(number)]


def take_phones(text: str) -> tuple[list[Phone], str]:
    """The numbers inside any text, and the text without them."""
    if sum(letter.isdigit() for letter in text) < _LEAST_DIGITS:
        return [], text
    phones, rest, end = [], [], 0
    for match in PhoneNumberMatcher(text, _COUNTRY):
        phones.append(_phone(match.number))
        rest.append(text[end : match.start])
        end = match.end
    rest.append(text[end:])
    if not phones:
        return [], text
    left = " ".join("".join(rest).replace("()", " ").split())
    return phones, left.strip(" ,;:/-")


def _phone(number: PhoneNumber) -> Phone:
    return Phone(format_number(number, PhoneNumberFormat.E164), number.extension or "")
