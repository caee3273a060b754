"""Which ZIP, city and state a row means, held against the ZIPs that exist."""

from __future__ import annotations

import re

from customers.places import Place, great_circle_km, place_of_zip
from customers.spreadsheet.outcomes import CellRefused
from customers.zip_codes import ZipCode, zip_code, zips_of_town

_STATES = {
    "alabama": "AL",
    "alaska": "AK",
    "arizona": "AZ",
    "arkansas": "AR",
    "california": "CA",
    "colorado": "CO",
    "connecticut": "CT",
    "delaware": "DE",
    "district of columbia": "DC",
    "florida": "FL",
    "georgia": "GA",
    "hawaii": "HI",
    "idaho": "ID",
    "illinois": "IL",
    "indiana": "IN",
    "iowa": "IA",
    "kansas": "KS",
    "kentucky": "KY",
    "louisiana": "LA",
    "maine": "ME",
    "maryland": "MD",
    "massachusetts": "MA",
    "michigan": "MI",
    "minnesota": "MN",
    "mississippi": "MS",
    "missouri": "MO",
    "montana": "MT",
    "nebraska": "NE",
    "nevada": "NV",
    "new hampshire": "NH",
    "new jersey": "NJ",
    "new mexico": "NM",
    "new york": "NY",
    "north carolina": "NC",
    "north dakota": "ND",
    "ohio": "OH",
    "oklahoma": "OK",
    "oregon": "OR",
    "pennsylvania": "PA",
    "puerto rico": "PR",
    "rhode island": "RI",
    "south carolina": "SC",
    "south dakota": "SD",
    "tennessee": "TN",
    "texas": "TX",
    "utah": "UT",
    "vermont": "VT",
    "virginia": "VA",
    "washington": "WA",
    "west virginia": "WV",
    "wisconsin": "WI",
    "wis": "WI",
    "wyoming": "WY",
}
_CODES = frozenset(_STATES.values())
_AT_HOME = {"us", "usa", "unitedstates", "unitedstatesofamerica", "america"}
_CANADIAN = re.compile(r"[A-Z][0-9][A-Z] ?[0-9][A-Z][0-9]", re.IGNORECASE)
_ZIP = re.compile(r"([0-9]{5})(?:[- ]?[0-9]{4})?(?:\.0)?")
# An assumption, no source: no home lies farther from the middle of its ZIP, so a point that does
# is mistyped, or latitude and longitude are swapped.
_MOST_KM_FROM_ZIP = 100.0


def read_country(text: str) -> str:
    """Nothing to keep: only homes in the United States are taken."""
    if re.sub(r"[^a-z]", "", text.casefold()) not in _AT_HOME:
        raise _abroad(text)
    return "US"


def read_state(text: str) -> str:
    """The two letters of a state."""
    word = text.replace(".", "").strip()
    code = word.upper() if word.upper() in _CODES else _STATES.get(word.casefold())
    if code is None:
        raise _abroad(text)
    return code


def read_zip(text: str) -> ZipCode:
    """Five digits; the four after the hyphen go, a leading zero that a spreadsheet ate returns."""
    plain = text.lstrip("'").replace(" ", "")
    if _CANADIAN.fullmatch(text):
        raise _abroad(text)
    if re.fullmatch(r"[0-9]{4}", plain):
        plain = "0" + plain
    match = _ZIP.fullmatch(plain)
    if match is None:
        raise CellRefused("zip_unreadable", f"“{text}” is not a ZIP; it has five digits, as 53202.")
    found = zip_code(match[1])
    if found is None:
        raise CellRefused("zip_unknown", f"the ZIP {match[1]} does not exist.")
    return found


def zip_of_town(city: str, state: str) -> str:
    """The ZIP of a town that has just one; CellRefused names what there is otherwise."""
    if not city or not state:
        raise CellRefused("zip_missing", "there is no ZIP, nor a city and state to find it by.")
    found = zips_of_town(city, state)
    if len(found) == 1:
        return found[0]
    several = ", ".join(found[:6]) + (" and more" if len(found) > 6 else "")
    has = several or "no ZIP that is known"
    raise CellRefused("zip_missing", f"there is no ZIP, and {city}, {state} has {has}.")


def check_in_state(code: ZipCode, state: str) -> None:
    """CellRefused when the ZIP lies in no state (military mail, islands), or in another one.

    `state` "" means that the row names none.
    """
    if code.state not in _CODES:
        raise CellRefused("not_in_united_states", f"the ZIP {code.digits} is not in a state.")
    if state and code.state != state:
        raise CellRefused(
            "zip_not_in_state",
            f"the ZIP {code.digits} is in {code.state}, not in {state}; one is wrong.",
        )


def read_point(latitude: str, longitude: str, code: ZipCode) -> Place:
    """The point of a home. A longitude without its minus is taken as west."""
    first, second = _degrees(latitude, 90), _degrees(longitude, 180)
    place = Place(first, -abs(second), "exact")
    centroid = place_of_zip(code.digits)
    if centroid is not None and (away := great_circle_km(place, centroid)) > _MOST_KM_FROM_ZIP:
        raise CellRefused(
            "point_far_from_zip",
            f"the point {first:g}, {second:g} is {away:,.0f} km from the ZIP {code.digits}; "
            "check the digits, and that latitude comes first.",
        )
    return place


def _degrees(text: str, most: int) -> float:
    match = re.fullmatch(r"([+\-−]?[0-9]{1,3}(?:\.[0-9]*)?) ?°? ?([NSEW]?)", text, re.IGNORECASE)
    if match is None or abs(float(match[1].replace("−", "-"))) > most:
        raise CellRefused(
            "point_unreadable", f"“{text}” is not in degrees, as 43.0156 and -88.0072."
        )
    return float(match[1].replace("−", "-"))


def _abroad(text: str) -> CellRefused:
    return CellRefused(
        "not_in_united_states",
        f"“{text}” is not in the United States; write a state as WI, a ZIP as 53202.",
    )
