"""One cell of any kind: its text put in order, then read as a date, a price, a phone.

Each reader takes tidy text and answers a value, or raises CellRefused that says what is allowed.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

from customers.spreadsheet.outcomes import CellRefused

_ERRORS = re.compile(r"#(N/A|REF!|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!)")
_QUOTED = re.compile(r'="((?:[^"]|"")*)"')
# How offices write "we do not know"; a name is read without this.
_NOTHING = {"", "-", "--", "?", "n/a", "na", "none", "unknown", "unk", "tbd", "null", "nil"}
_MOST_PRICE = Decimal("10000")
_PRICE = re.compile(r"([0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)(?:\.([0-9]*))?")
_EMAIL = re.compile(r"[a-z0-9.!#$%&'*+/=?^_`{|}~-]+@(?:[a-z0-9-]+\.)+[a-z]{2,63}", re.IGNORECASE)
_YES = {"yes", "y", "x", "true", "t", "1", "✓", "✔", "si", "sí"}
_NO = {"no", "n", "false", "f", "0", "none"}


def tidy(raw: str) -> str:
    """One line of text: odd spaces are spaces, none doubled, nothing that cannot be seen."""
    seen = []
    for letter in unicodedata.normalize("NFC", raw):
        category = unicodedata.category(letter)
        if category in ("Cc", "Zs", "Zl", "Zp"):
            seen.append(" ")
        elif category[0] != "C":
            seen.append(letter)
    return " ".join("".join(seen).split())


def without_formula(text: str) -> str:
    """Take ="53202" out of its shell; refuse any other formula and every error of a formula."""
    if quoted := _QUOTED.fullmatch(text):
        return quoted[1].replace('""', '"').strip()
    if text.startswith("="):
        raise CellRefused(
            "formula", "the cell holds a formula without a result; paste its value instead."
        )
    if _ERRORS.match(text):
        raise CellRefused("cell_error", f"the cell shows the error {text}; type the value instead.")
    return text


def says_nothing(text: str) -> bool:
    """Is it blank, or a word for "we do not know"?"""
    return text.casefold() in _NOTHING


def check_length(text: str, most: int) -> str:
    """The text again, unless it has more than `most` letters."""
    if len(text) > most:
        raise CellRefused(
            "too_long", f"it has {len(text)} letters; at most {most} are kept. Shorten it."
        )
    return text


def read_yes_no(text: str) -> bool:
    """Yes or no, in the usual signs for them."""
    word = text.casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise CellRefused("yes_no_unreadable", f"“{text}” is neither yes nor no; write one of them.")


def read_price(text: str) -> Decimal:
    """Dollars and cents, from 0.00 to 10,000.00."""
    plain = re.sub(r"^(US)?\$|USD$", "", text.replace(" ", ""), flags=re.IGNORECASE)
    match = _PRICE.fullmatch(plain)
    if match is None:
        raise CellRefused(
            "price_unreadable", f"“{text}” is not a price; write dollars and cents, as 189.00."
        )
    whole, cents = match[1].replace(",", ""), match[2] or ""
    if len(cents) > 2:
        raise CellRefused(
            "price_decimals", f"“{text}” has {len(cents)} decimals; a price has at most two."
        )
    price = Decimal(f"{whole}.{cents:0<2}")
    if price > _MOST_PRICE:
        raise CellRefused("price_out_of_range", f"“{text}” is over 10,000.00 dollars a term.")
    return price


def read_emails(text: str) -> list[str]:
    """The e-mail addresses of a cell, divided by comma, semicolon, slash or space."""
    addresses = [part for part in re.split(r"[\s,;/]+", text) if part]
    for address in addresses:
        if not _EMAIL.fullmatch(address) or ".." in address or len(address) > 254:
            raise CellRefused(
                "email_invalid", f"“{text}” is not an e-mail address, as ana@example.com."
            )
    return [_lower_domain(address) for address in addresses]


def _lower_domain(address: str) -> str:
    person, _, domain = address.rpartition("@")
    return f"{person}@{domain.lower()}"
