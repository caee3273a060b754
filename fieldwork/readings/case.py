"""One visit's readings, made ready to be judged: only what can be true, asked for by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldwork.readings.bounds import hard_range
from fieldwork.readings.contradiction import Contradiction
from fieldwork.readings.contradictions import contradictions
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields import FIELDS
from fieldwork.readings.fields.field import CheckList, Field, Value
from fieldwork.readings.limits import Limits
from fieldwork.readings.words import allowed


@dataclass(frozen=True)
class Case:
    equipment: Equipment
    readings: Mapping[str, Value]
    """Those that can be true; the others are in `contradictions`."""
    rules: Limits
    lists: tuple[CheckList, ...]
    contradictions: tuple[Contradiction, ...]

    def number(self, name: str) -> float | None:
        value = self.readings.get(name)
        return None if value is None else float(value)

    def yes(self, name: str) -> bool | None:
        value = self.readings.get(name)
        return value if isinstance(value, bool) else None

    def word(self, name: str) -> str | None:
        value = self.readings.get(name)
        return value if isinstance(value, str) else None

    def is_comparable(self, other: Case) -> bool:
        """The weather was about as warm; not known is not comparable."""
        now_f, then_f = self.number("outdoor_db_f"), other.number("outdoor_db_f")
        if now_f is None or then_f is None:
            return False
        return abs(then_f - now_f) <= self.rules.comparable_outdoor_f.value

    def lacking(self, *names: str) -> tuple[str, ...]:
        """Those of the names that were not read, or cannot be true."""
        return tuple(name for name in names if name not in self.readings)


def case_of(
    equipment: Equipment,
    readings: Mapping[str, Value],
    rules: Limits,
    lists: tuple[CheckList, ...],
) -> Case:
    """Raises ValueError for a name that is no field."""
    if unknown := set(readings) - set(FIELDS):
        raise ValueError(f"There is no field {', '.join(sorted(unknown))}.")
    alone = tuple(
        wrong
        for name, value in readings.items()
        if (wrong := _impossible(FIELDS[name], value, equipment, readings)) is not None
    )
    possible = _without(readings, alone)
    together = contradictions(equipment, possible)
    return Case(equipment, _without(possible, together), rules, lists, alone + together)


def earlier_case(case: Case, readings: Mapping[str, Value]) -> Case:
    """An earlier visit's, of the same equipment; names that are fields no more are passed over."""
    known = {name: value for name, value in readings.items() if name in FIELDS}
    return case_of(case.equipment, known, case.rules, case.lists)


def _without(readings: Mapping[str, Value], wrong: tuple[Contradiction, ...]) -> dict[str, Value]:
    names = {name for each in wrong for name in each.fields}
    return {name: value for name, value in readings.items() if name not in names}


def _impossible(
    field: Field, value: Value, equipment: Equipment, readings: Mapping[str, Value]
) -> Contradiction | None:
    """A reading that cannot be true on its own, or is no answer to its field."""
    if field.kind == "yes_no":
        fits = isinstance(value, bool)
    elif field.kind != "number":
        fits = value in {stored for stored, _ in field.choices}
    else:
        return _beyond(field, value, equipment, readings)
    return None if fits else Contradiction((field.name,), f"{field.label}: {value!r} is no answer.")


def _beyond(
    field: Field, value: Value, equipment: Equipment, readings: Mapping[str, Value]
) -> Contradiction | None:
    if isinstance(value, (bool, str)):
        return Contradiction((field.name,), f"{field.label}: {value!r} is no number.")
    bounds = hard_range(field, equipment, readings)
    if bounds is None or bounds[0] <= value <= bounds[1]:  # a NaN is not within
        return None
    words = allowed(*bounds, field.unit, field.decimals)
    return Contradiction((field.name,), f"{field.label}: {value:g} cannot be; possible is {words}.")
