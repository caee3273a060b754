"""What is asked about a reading that is possible, but odd."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fieldwork.readings.bounds import hard_range, soft_range
from fieldwork.readings.equipment import Equipment, Refrigerant
from fieldwork.readings.fields import GAUGES
from fieldwork.readings.fields.field import CheckList, Field, Range, Value
from fieldwork.readings.tables.saturation_fit import COEFFICIENTS
from fieldwork.readings.words import allowed, amount, listed

_NEED_A_RUNNING_SYSTEM = (*GAUGES, "supply_db_f", "supply_wb_f", "compressor_a")


@dataclass(frozen=True)
class Question:
    words: str
    instead: float | None = None


def question_about(
    field: Field,
    value: float,
    equipment: Equipment,
    so_far: Mapping[str, Value],
    lists: tuple[CheckList, ...] | None = None,
) -> Question | None:
    """None: nothing is odd. The first doubt is enough. `lists` as in `bounds.soft_range`."""
    if field.name in _NEED_A_RUNNING_SYSTEM and so_far.get("minutes_running") == 0:
        return Question(f"{field.label}: the system has run for 0 minutes. Is it running now?")
    usual = soft_range(field, equipment, so_far, lists)
    return _beyond_usual(field, value, usual, equipment, so_far) or _warmer_supply(
        field, value, so_far
    )


def as_fahrenheit(celsius: float) -> float:
    return celsius * 1.8 + 32.0


def _beyond_usual(
    field: Field,
    value: float,
    usual: Range | None,
    equipment: Equipment,
    so_far: Mapping[str, Value],
) -> Question | None:
    if usual is None or usual[0] <= value <= usual[1]:
        return None
    shown = amount(value, field.unit, field.decimals)
    warm = as_fahrenheit(value)
    if field.unit == "°F" and usual[0] <= warm <= usual[1]:
        return Question(
            f"{field.label} {shown}? It would be {amount(warm, '°F')} if it was read in °C.", warm
        )
    words = f"{field.label} {shown}? Usual is {allowed(*usual, field.unit, field.decimals)}."
    if others := _would_suit(field, value, equipment, so_far):
        words += f" It would suit {listed(others, 'or')}."
    return Question(words)


def _would_suit(
    field: Field, value: float, equipment: Equipment, so_far: Mapping[str, Value]
) -> list[str]:
    """Refrigerants for which this pressure would be usual; none when it is no such pressure."""
    if field.name not in ("suction_psig", "liquid_psig") or equipment.refrigerant is None:
        return []
    names: list[Refrigerant] = list(COEFFICIENTS)
    return [name for name in names if _suits(name, field, value, equipment, so_far)]


def _suits(
    refrigerant: Refrigerant,
    field: Field,
    value: float,
    equipment: Equipment,
    so_far: Mapping[str, Value],
) -> bool:
    other = replace(equipment, refrigerant=refrigerant)
    ranges = soft_range(field, other, so_far), hard_range(field, other, so_far)
    return all(bounds is not None and bounds[0] <= value <= bounds[1] for bounds in ranges)


def _warmer_supply(field: Field, value: float, so_far: Mapping[str, Value]) -> Question | None:
    """In a cooling check the supply is the cooler one."""
    other = {"supply_db_f": "return_db_f", "return_db_f": "supply_db_f"}.get(field.name)
    if other is None or (read := so_far.get(other)) is None:
        return None
    supply, back = (value, float(read)) if field.name == "supply_db_f" else (float(read), value)
    if supply <= back:
        return None
    return Question(f"Supply {supply:g} °F above return {back:g} °F: is it cooling?")
