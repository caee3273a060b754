"""Street lines: the unit taken off, and a key under which two spellings of one door meet."""

from __future__ import annotations

import re

# The words that mail carriers abbreviate: USPS Publication 28, appendix C1 (street suffixes,
# the common ones) and section 233 (directionals).
_SHORT = {
    "ALLEY": "ALY",
    "AVENUE": "AVE",
    "AV": "AVE",
    "BOULEVARD": "BLVD",
    "CIRCLE": "CIR",
    "COURT": "CT",
    "DRIVE": "DR",
    "EXPRESSWAY": "EXPY",
    "HEIGHTS": "HTS",
    "HIGHWAY": "HWY",
    "LANE": "LN",
    "PARKWAY": "PKWY",
    "PLACE": "PL",
    "PLAZA": "PLZ",
    "ROAD": "RD",
    "SQUARE": "SQ",
    "STREET": "ST",
    "STR": "ST",
    "TERRACE": "TER",
    "TRAIL": "TRL",
    "NORTH": "N",
    "SOUTH": "S",
    "EAST": "E",
    "WEST": "W",
    "NORTHEAST": "NE",
    "NORTHWEST": "NW",
    "SOUTHEAST": "SE",
    "SOUTHWEST": "SW",
    "SAINT": "ST",
    "MOUNT": "MT",
}
# Publication 28, appendix C2 (secondary unit designators), those that houses have.
_UNIT = re.compile(
    r"[\s,]+((?:apartment|apt|unit|suite|ste|lot|lower|upper|#)\b\.?\s*#?\s*[\w-]*|#\s*[\w-]+)$",
    re.IGNORECASE,
)
_UNIT_WORD = re.compile(r"apartment|apt|unit|suite|ste|[^A-Z0-9]", re.IGNORECASE)
_POST_BOX = re.compile(r"^\W*(p\.?\s*o\.?\s*box|post office box|box)\b", re.IGNORECASE)


def divided_street(line: str) -> tuple[str, str]:
    """The street and the unit: "214 Oak St, Apt 2" is ("214 Oak St", "Apt 2")."""
    match = _UNIT.search(line)
    if match is None or match.start() == 0:
        return line, ""
    return line[: match.start()].rstrip(" ,"), match[1]


def is_post_box(line: str) -> bool:
    """Is it a box at a post office, where nobody cools anything?"""
    return bool(_POST_BOX.match(line))


def street_key(street: str) -> str:
    """One spelling for all: "214 North Oak Street" and "214 N. Oak St" are "214 N OAK ST"."""
    words = re.findall(r"[A-Z0-9]+", street.upper().replace("'", "").replace("’", ""))
    return " ".join(_SHORT.get(word, word) for word in words)


def unit_key(unit: str) -> str:
    """ "Apt. 2", "#2" and "Unit 2" are one door: "2"."""
    return _UNIT_WORD.sub("", unit.upper())


def house_number(key: str) -> str:
    """The leading parts of a street key with a digit: "214", or "W156 N8480" in Waukesha County."""
    number = []
    for word in key.split():
        if not any(letter.isdigit() for letter in word):
            break
        number.append(word)
    return " ".join(number)
