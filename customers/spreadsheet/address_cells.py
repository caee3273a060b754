"""The cells that make a home: its address, its point, and what to know on arrival."""

from __future__ import annotations

import re

from customers.places import Place, place_of_zip
from customers.spreadsheet.addresses import (
    check_in_state,
    read_country,
    read_point,
    read_state,
    read_zip,
    zip_of_town,
)
from customers.spreadsheet.cells import check_length, read_yes_no, says_nothing
from customers.spreadsheet.facts import HomeFacts
from customers.spreadsheet.halves import both_of, read_days, read_half
from customers.spreadsheet.outcomes import CellRefused
from customers.spreadsheet.row_cells import RowCells
from customers.spreadsheet.streets import divided_street, is_post_box
from customers.zip_codes import ZipCode, zip_code
from kit.when import WeekHalves

_NO_DOG = {"no", "n", "0", "false"}


def home_of(cells: RowCells) -> HomeFacts | None:
    """The home of a row; None when a refusal stands in its way."""
    address = _street(cells)
    code = _zip(cells)
    access_notes = cells.text("access_notes", 2000)
    dog = cells.text("dog", 80)
    pets, more_notes = _pets(cells)
    facts = {
        "winter_cover": yes_no_of(cells, "winter_cover"),
        "high_low_returns": yes_no_of(cells, "high_low_returns"),
        "short_notice": yes_no_of(cells, "short_notice"),
    }
    city, halves, gate_code = _city(cells, code), _halves(cells), cells.text("gate_code", 40)
    if address is None or code is None:
        return None
    place = _place(cells, code)
    return HomeFacts(
        street=address[0],
        unit=address[1],
        city=city,
        state=code.state,
        zip=code.digits,
        latitude=place.latitude if place else None,
        longitude=place.longitude if place else None,
        precision=place.precision if place else "unknown",
        access_notes="\n".join(filter(None, (access_notes, more_notes))),
        gate_code=gate_code,
        dog="" if says_nothing(dog) or dog.casefold() in _NO_DOG else dog,
        pets=pets,
        halves=halves,
        **facts,
    )


def _street(cells: RowCells) -> tuple[str, str] | None:
    line = cells.need("street", cells.text("street", 140))
    if not line:
        return None
    if is_post_box(line):
        cells.refuse("street", "post_box", "a post box has no system; write the home's street.")
        return None
    street, unit = divided_street(line)
    cells.checked("street", street, lambda text: check_length(text, 120))
    cells.checked("street", unit, lambda text: check_length(text, 20))
    if not any(letter.isdigit() for letter in street):
        cells.note("street", "there is no house number.")
    return street, unit


def _zip(cells: RowCells) -> ZipCode | None:
    """A ZIP that exists and lies in the row's state; found by the town when it is missing."""
    cells.read("country", read_country)
    state = cells.read("state", read_state) or ""
    code = cells.read("zip", read_zip)
    if cells.was_refused("country") or cells.was_refused("state"):
        return None
    if code is None and not cells.was_refused("zip"):
        code = _zip_of_town(cells, state)
    if code is not None:
        cells.checked("zip", code.digits, lambda _: check_in_state(code, state))
    return None if cells.was_refused("zip") else code


def _zip_of_town(cells: RowCells, state: str) -> ZipCode | None:
    found = cells.checked("zip", cells.text("city", 60), lambda city: zip_of_town(city, state))
    if not found:
        return None
    cells.note("zip", f"the ZIP was missing; {found} is the only one of that town.")
    return zip_code(found)


def _city(cells: RowCells, code: ZipCode | None) -> str:
    city = cells.text("city", 60)
    if code is None:
        return city
    if not city:
        city = code.city
        cells.note("city", f"the city was missing; {code.digits} is {city}.")
    elif not code.is_of(city):
        cells.note("city", f"the post office calls {code.digits} {code.city}.")
    return city


def _place(cells: RowCells, code: ZipCode) -> Place | None:
    """The point in the row, or else the middle of the ZIP."""
    latitude, longitude = cells.text("latitude", 60), cells.text("longitude", 60)
    if "," in latitude and not longitude:  # both, pasted from a map into one cell
        latitude, _, longitude = (part.strip() for part in latitude.partition(","))
    if not latitude and not longitude:
        return place_of_zip(code.digits)
    if not latitude or not longitude:
        lacking = "longitude" if latitude else "latitude"
        cells.refuse(lacking, "point_half", f"there is no {lacking}; give both or neither.")
        return None
    place = cells.checked("latitude", latitude, lambda _: read_point(latitude, longitude, code))
    if place is not None and not re.search("[-−W]", longitude.upper()):
        cells.note("longitude", "it had no minus; it was taken as west of Greenwich.")
    return place


def _pets(cells: RowCells) -> tuple[bool | None, str]:
    """Yes, no or not stated; "2 cats" is yes, and the words go to the access notes."""
    words = cells.text("pets", 80)
    if _unasked(words):
        return None, ""
    try:
        return read_yes_no(words), ""
    except CellRefused:
        cells.note("pets", f"“{words}” was taken as yes and kept in the access notes.")
        return True, f"Pets: {words}"


def yes_no_of(cells: RowCells, field_id: str) -> bool | None:
    """The answer in a cell; None when it gives none."""
    return cells.read(field_id, lambda text: None if _unasked(text) else read_yes_no(text))


def _unasked(text: str) -> bool:
    return says_nothing(text) and text.casefold() != "none"  # no cover: that is an answer


def _halves(cells: RowCells) -> WeekHalves | None:
    days = cells.read("days", read_days)
    half = cells.read("half", read_half)
    if days is None or half is None:
        return days or half
    words = f"{cells.text('days', 200)}, {cells.text('half', 60)}"
    return cells.checked("days", words, lambda text: both_of(days, half, text))
