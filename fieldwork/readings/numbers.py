"""Numbers as people type them with cold fingers: commas, long dashes, a unit behind."""

from __future__ import annotations

import re

_MINUSES = str.maketrans(
    {"−": "-", "–": "-", "—": "-", "\u2011": "-", "\u00a0": " ", "µ": "u", "μ": "u"}
)
_UNITS = (
    "°", "° ?f", "f", "° ?c", "c", "%", "psig?", "in", '"', "(?:in ?)?wc", "cfm", "v(?: ?ac)?", "a",
    "amps?", "uf", "mfd", "ua", "Ω", "ohms?", "ppm", "oz", "s", "sec", "min", "btu/ft[3³]",
)  # fmt: skip
# How each field's unit is written behind a number, without spaces, in small letters.
_WRITTEN: dict[str, tuple[str, ...]] = {
    "°F": ("°", "°f", "f", "°c", "c"), "%": ("%",), "psig": ("psi", "psig"),
    "in WC": ("in", '"', "wc", "inwc"), "in": ("in", '"'), "cfm": ("cfm",), "V": ("v", "vac"),
    "V AC": ("v", "vac"), "A": ("a", "amp", "amps"), "µF": ("uf", "mfd"), "µA": ("ua",),
    "Ω": ("ω", "ohm", "ohms"), "ppm": ("ppm",), "oz": ("oz",), "s": ("s", "sec"), "min": ("min",),
    "Btu/ft³": ("btu/ft3", "btu/ft³"),
}  # fmt: skip
_UNIT = rf"\s*(?:{'|'.join(_UNITS)})?"
_PLAIN = re.compile(rf"([+-]?\d+(?:\.\d*)?|[+-]?\.\d+){_UNIT}", re.IGNORECASE)
_COMMA = re.compile(rf"([+-]?)(\d+),(\d+){_UNIT}", re.IGNORECASE)
_GROUPED = re.compile(rf"([+-]?\d{{1,3}}(?:,\d{{3}})+\.\d+){_UNIT}", re.IGNORECASE)
_CELSIUS = re.compile(r"\d\s*°?\s*c$", re.IGNORECASE)


def readings_of(text: str) -> tuple[float, ...]:
    """What a text may mean as a number: one value, two when a comma leaves it open, or none.

    "2,5" is 2.5; "1,234" may be 1234 or 1.234; "1,234.5" is 1234.5. A unit behind is dropped.
    """
    text = " ".join(text.translate(_MINUSES).split())
    text = re.sub(r"^([+-])\s+", r"\1", text)
    if found := _PLAIN.fullmatch(text):
        return (float(found[1]),)
    if found := _GROUPED.fullmatch(text):
        return (float(found[1].replace(",", "")),)
    if found := _COMMA.fullmatch(text):
        sign, whole, rest = found[1], found[2], found[3]
        decimal = float(f"{sign}{whole}.{rest}")
        if len(rest) == 3 and len(whole) <= 3 and whole != "0":
            return float(f"{sign}{whole}{rest}"), decimal
        return (decimal,)
    return ()


def names_celsius(text: str) -> bool:
    """Whether the unit typed behind it is °C."""
    return _CELSIUS.search(text.strip()) is not None


def other_unit(text: str, unit: str) -> str:
    """The unit typed behind a number when it is not the field's; else nothing."""
    typed = re.sub(r"^[\s\d.,+-]+", "", text.translate(_MINUSES)).strip()
    written = re.sub(r"\s", "", typed).casefold()
    return typed if written and written not in _WRITTEN.get(unit, ()) else ""
