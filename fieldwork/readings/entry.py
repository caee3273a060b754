"""What a technician typed, as a reading: accepted, asked about, or refused. Nothing is guessed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldwork.readings.bounds import hard_range
from fieldwork.readings.contradictions import contradictions
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import CheckList, Field, Range, Value
from fieldwork.readings.numbers import names_celsius, other_unit, readings_of
from fieldwork.readings.questions import as_fahrenheit, question_about
from fieldwork.readings.words import allowed, amount, listed

_YES_NO = {"yes": True, "true": True, "y": True, "no": False, "false": False, "n": False}


@dataclass(frozen=True)
class Accepted:
    """`value` None: the field was left empty, the reading is not given."""

    value: Value | None


@dataclass(frozen=True)
class Asked:
    """Possible, but odd. `value` is what it is taken as if the technician is sure.

    `instead` is another reading of what was typed, such as °C; None is no suggestion.
    """

    value: Value
    question: str
    instead: float | None = None


@dataclass(frozen=True)
class Refused:
    """`words` say what is allowed. The caller keeps what was typed on the screen."""

    words: str


Entry = Accepted | Asked | Refused


def read_entry(
    field: Field,
    text: str,
    equipment: Equipment,
    so_far: Mapping[str, Value],
    sure: bool = False,
    lists: tuple[CheckList, ...] | None = None,
) -> Entry:
    """Read one field. `so_far` are the readings of this visit; the field's own is not looked at.

    `sure`: the technician has answered the question with yes, so that none is asked again.
    `lists` are the check lists of the visit; None takes a cooling check where the unit cools.
    """
    if not text.strip():
        return Accepted(None)
    if field.kind == "number":
        entry = _number(field, text, equipment, so_far, lists)
    else:
        entry = _word(field, text.strip().casefold())
    if not isinstance(entry, Refused):
        entry = _crossed(field, entry, equipment, so_far)
    return Accepted(entry.value) if sure and isinstance(entry, Asked) else entry


def _word(field: Field, text: str) -> Entry:
    if field.kind == "yes_no" and text in _YES_NO:
        return Accepted(_YES_NO[text])
    for stored, shown in field.choices:
        if field.kind != "yes_no" and text in (stored.casefold(), shown.casefold()):
            return Accepted(stored)
    choices = listed([shown for _, shown in field.choices], "or")
    return Refused(f"{field.label}: choose {choices}.")


def _number(
    field: Field,
    text: str,
    equipment: Equipment,
    so_far: Mapping[str, Value],
    lists: tuple[CheckList, ...] | None,
) -> Entry:
    meanings = readings_of(text)
    bounds = hard_range(field, equipment, so_far)
    if not meanings or (names_celsius(text) and field.unit != "°F"):
        return Refused(
            f"{field.label}: “{text.strip()}” is no number{_range_words(field, bounds)}."
        )
    if foreign := other_unit(text, field.unit):
        return Refused(f"{field.label} is taken in {field.unit}, not in {foreign}.")
    if names_celsius(text):
        return _celsius(field, meanings[0], bounds)
    possible = [value for value in meanings if _fits(value, bounds)]
    if not possible:
        return Refused(_too_far(field, meanings[0], bounds))
    if len(meanings) > 1:
        shown = [amount(value, field.unit, 3 if value % 1 else 0) for value in meanings]
        other = possible[1] if len(possible) > 1 else None
        return Asked(
            possible[0], f"{field.label}: is “{text.strip()}” {shown[0]} or {shown[1]}?", other
        )
    question = question_about(field, possible[0], equipment, so_far, lists)
    if question is None:
        return Accepted(possible[0])
    return Asked(possible[0], question.words, question.instead)


def _celsius(field: Field, value: float, bounds: Range | None) -> Entry:
    turned = as_fahrenheit(value)
    if not _fits(turned, bounds):
        return Refused(_too_far(field, turned, bounds))
    return Asked(turned, f"{field.label}: {value:g} °C is {amount(turned, '°F', 1)}. Take that?")


def _crossed(
    field: Field, entry: Accepted | Asked, equipment: Equipment, so_far: Mapping[str, Value]
) -> Entry:
    """Set against the other readings; only what this one brings in is told."""
    assert entry.value is not None
    before = {name: given for name, given in so_far.items() if name != field.name}
    known = contradictions(equipment, before)
    found = contradictions(equipment, {**before, field.name: entry.value})
    brought_in = [each for each in found if each not in known]
    for each in brought_in:
        if each.refuses:
            return Refused(each.words)
    if brought_in and isinstance(entry, Accepted):
        return Asked(entry.value, brought_in[0].words)
    return entry


def _fits(value: float, bounds: Range | None) -> bool:
    return bounds is None or bounds[0] <= value <= bounds[1]


def _range_words(field: Field, bounds: Range | None) -> str:
    return "" if bounds is None else f"; it takes {allowed(*bounds, field.unit, _decimals(bounds))}"


def _decimals(bounds: Range) -> int:
    return 0 if all(bound % 1 == 0 for bound in bounds) else 2


def _too_far(field: Field, value: float, bounds: Range | None) -> str:
    words = f"{field.label}: {value:g} {field.unit} cannot be{_range_words(field, bounds)}."
    turned, doubt = value, ""
    if field.unit == "°F":
        turned, doubt = as_fahrenheit(value), "Was it read in °C?"
    elif field.unit == "µF":
        turned, doubt = value * 1000.0, "Is the decimal point in its place?"
    if doubt and _fits(turned, bounds):
        words += f" {doubt} Then it would be {amount(turned, field.unit, 1)}."
    return words
