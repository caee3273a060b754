"""What offices write for systems, refrigerants, filters and plans (common practice, no source).

The answers are the values that the models keep.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal

from customers.spreadsheet.outcomes import CellRefused

# Ordered: of two systems in one cell, the cooling one owns the row's brand, model and serial.
_KINDS = {
    "heat_pump": r"heat ?pumps?|\bhp\b|dual fuel",
    "air_conditioner": r"air ?cond\w*|\ba/?c\b|\ba\.c\.|central air|condens\w*|\bcac\b|cooling",
    "package": r"packaged?( unit)?|\brtu\b|rooftop|gas ?pack",
    "furnace": r"furnaces?|\bfurn\b|dual fuel",
    "air_handler": r"air ?handlers?|\bahu?\b|fan coil",
}
_REFRIGERANTS = {
    "R-22": "22, freon, hcfc22",
    "R-134a": "134a",
    "R-407C": "407c",
    "R-410A": "410a, 410, puron",
    "R-32": "32",
    "R-454B": "454b",
}
_METERING = {
    "fixed": "fixed, piston, orifice, fixed orifice, cap tube, capillary",
    "txv": "txv, tev, tx valve, thermostatic, thermostatic expansion valve",
    "exv": "exv, eev, electronic, electronic expansion valve",
}
_PLANS = {
    "annual": (
        "annual, annually, yearly, 1, 1x, once, once a year, one visit, cooling, cooling only, "
        "ac only, single, spring, spring cooling"
    ),
    "semi-annual": (
        "semi annual, semiannual, semi annually, semi, 2, 2x, twice, twice a year, two visits, "
        "spring and fall, spring and autumn, heating and cooling, cooling and heating, both"
    ),
}
_LANGUAGES = {
    "en": "en, english, eng, e",
    "es": "es, spanish, espanol, español, spa, sp, s",
}
_NUMBER = r"([0-9]{1,2}(?:\.[0-9]{1,2}|[ -][1-7]/[248])?)"
_INCH = r" *(?:\"|''|”|″|in\b\.?|inch(?:es)?\b)? *"
_FILTER = re.compile(rf"{_NUMBER}{_INCH}[x×*]{_INCH}{_NUMBER}{_INCH}(?:[x×*] *{_NUMBER}{_INCH})?")
_THICKNESS = re.compile(rf"{_NUMBER}{_INCH}(?:thick|deep|media)?")
_LEAST_IN, _MOST_IN = Decimal("0.5"), Decimal("6")


def read_kinds(text: str) -> tuple[str, ...]:
    """The systems that a cell names, the cooling one first: "A/C & furnace" are two."""
    words = text.casefold()
    kinds = tuple(kind for kind, pattern in _KINDS.items() if re.search(pattern, words))
    if not kinds:
        raise CellRefused(
            "kind_unknown",
            f"“{text}” is no kind of system; allowed are air conditioner, heat pump, furnace, "
            "air handler and packaged unit.",
        )
    return ("package",) if "package" in kinds else kinds


def read_refrigerant(text: str) -> str:
    """R-22, R-134a, R-407C, R-410A, R-32 or R-454B."""
    word = re.sub(r"^r(?=[0-9])", "", re.sub(r"[\s-]+|freon(?=.)", "", text.casefold()))
    return _one_of(_REFRIGERANTS, word, text, "refrigerant_unknown", "a refrigerant on the list")


def read_metering(text: str) -> str:
    """fixed, txv or exv."""
    word = re.sub(r"[^a-z]+", " ", text.casefold()).strip()
    return _one_of(_METERING, word, text, "metering_unknown", "a metering device")


def plan_word(text: str) -> str:
    """What tells one plan's name from another's: "The Gold Plan" and "the gold" are one."""
    word = re.sub(r"[^a-z0-9]+", " ", text.casefold().replace("&", " and "))
    word = re.sub(r"\b(plan|agreement|visits|visit|per year|a year|check|checks)\b", " ", word)
    return " ".join(word.split())


def read_plan(text: str, own: Mapping[str, str] | None = None) -> str:
    """A plan's code: of `own`, the shop's plans by `plan_word` of their names, else annual or
    semi-annual. Biannual is refused: people mean two different things by it."""
    word, own = plan_word(text), own or {}
    if word in own:
        return own[word]
    if word in ("biannual", "bi annual", "biennial"):
        raise CellRefused(
            "plan_ambiguous",
            f"“{text}” may mean twice a year or every two years; write annual or semi-annual.",
        )
    return _one_of(_PLANS, word, text, "plan_unknown", "a plan", also=own)


def read_language(text: str) -> str:
    """en or es."""
    return _one_of(_LANGUAGES, text.casefold(), text, "language_unknown", "a language of letters")


def read_filter(text: str) -> tuple[str, Decimal | None]:
    """Width x height in inches as "16x25", and the thickness when it is the third number."""
    match = _FILTER.fullmatch(text.casefold())
    if match is None:
        raise CellRefused(
            "filter_unreadable", f"“{text}” is not a filter size in inches, as 16x25x1."
        )
    size = f"{_inches(match[1]):f}x{_inches(match[2]):f}"
    return size, _checked_thickness(match[3]) if match[3] else None


def read_thickness(text: str) -> Decimal:
    """A filter's thickness, 0.5 to 6 inches, to a tenth."""
    match = _THICKNESS.fullmatch(text.casefold())
    if match is None:
        raise CellRefused("thickness_unreadable", f"“{text}” is not a thickness in inches, as 1.")
    return _checked_thickness(match[1])


def _checked_thickness(number: str) -> Decimal:
    inches = round(_inches(number), 1)
    if not _LEAST_IN <= inches <= _MOST_IN:
        raise CellRefused(
            "thickness_out_of_range",
            f"a filter is {_LEAST_IN} to {_MOST_IN} inches thick, not {inches}.",
        )
    return _without_closing_zeros(inches)


def _inches(number: str) -> Decimal:
    """19.5 or 19 1/2, without closing zeros."""
    whole, *fraction = re.split(r"[ -]", number)
    inches = Decimal(whole)
    if fraction:
        above, below = fraction[0].split("/")
        inches += Decimal(above) / Decimal(below)
    return _without_closing_zeros(inches)


def _without_closing_zeros(number: Decimal) -> Decimal:
    return number.quantize(Decimal(1)) if number == number.to_integral() else number.normalize()


def _one_of(
    table: dict[str, str], word: str, text: str, code: str, what: str, also: Iterable[str] = ()
) -> str:
    for value, spellings in table.items():
        if word in spellings.split(", "):
            return value
    allowed = ", ".join(dict.fromkeys((*also, *table)))
    raise CellRefused(code, f"“{text}” is not {what}; allowed are {allowed}.")
