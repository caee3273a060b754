"""Readings that a running system cannot make together, whatever is wrong with it.

The margins are own choice, about twice what gauge and thermometer together are wrong by. None of it
refuses what is typed, because the system may stand still or hold another refrigerant; it only keeps
a verdict from resting on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fieldwork.readings.contradiction import Contradiction
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Value
from fieldwork.readings.saturation import Curve, OutsideTable, saturation_f

MARGIN_F = 5.0
MOST_RISE_F = 150.0
_ASK = "gauge, thermometer, or another refrigerant?"


def impossible_physics(
    equipment: Equipment, readings: Mapping[str, Value]
) -> Iterator[Contradiction]:
    yield from _suction_line(equipment, readings)
    yield from _liquid_line(equipment, readings)
    yield from _evaporator(equipment, readings)
    yield from _flame(equipment, readings)


def _suction_line(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    """Vapour is not colder than the liquid that it boils from; of a blend, than its bubble."""
    boils_f = _saturation(equipment, "bubble", readings.get("suction_psig"))
    line = readings.get("suction_line_f")
    if boils_f is not None and line is not None and float(line) < boils_f - MARGIN_F:
        yield Contradiction(
            ("suction_psig", "suction_line_f"),
            f"A suction line of {line:g} °F is colder than the refrigerant boils at this gauge, "
            f"{boils_f:.0f} °F: {_ASK}",
            refuses=False,
        )


def _liquid_line(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    """Liquid, or liquid with bubbles in it, is not warmer than it condenses."""
    condenses_f = _saturation(equipment, "dew", readings.get("liquid_psig"))
    line = readings.get("liquid_line_f")
    if condenses_f is not None and line is not None and float(line) > condenses_f + MARGIN_F:
        yield Contradiction(
            ("liquid_psig", "liquid_line_f"),
            f"A liquid line of {line:g} °F is warmer than the refrigerant condenses at this gauge, "
            f"{condenses_f:.0f} °F: {_ASK}",
            refuses=False,
        )


def _evaporator(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    """A coil that cools is colder than the air it takes in, and no colder air comes out of it."""
    boils_f = _saturation(equipment, "dew", readings.get("suction_psig"))
    back, supply = readings.get("return_db_f"), readings.get("supply_db_f")
    if boils_f is None:
        return
    if back is not None and boils_f >= float(back):
        yield Contradiction(
            ("suction_psig",),
            f"At this suction pressure the coil is {boils_f:.0f} °F, not colder than its return "
            f"air: the compressor does not pump, or {_ASK}",
            refuses=False,
        )
    elif supply is not None and float(supply) < boils_f - MARGIN_F:
        yield Contradiction(
            ("suction_psig", "supply_db_f"),
            f"Supply air of {supply:g} °F is colder than its coil, {boils_f:.0f} °F at this gauge: "
            f"{_ASK}",
            refuses=False,
        )


def _flame(equipment: Equipment, readings: Mapping[str, Value]) -> Iterator[Contradiction]:
    """A furnace that burns warms its air, and does not melt."""
    back, supply = readings.get("heating_return_f"), readings.get("heating_supply_f")
    if equipment.kind == "heat_pump" or back is None or supply is None:
        return
    rise_f = float(supply) - float(back)
    if not 0.0 < rise_f <= MOST_RISE_F:
        yield Contradiction(
            ("heating_return_f", "heating_supply_f"),
            f"A temperature rise of {rise_f:g} °F cannot be with the burner on; possible is more "
            f"than 0 to {MOST_RISE_F:g} °F. Are return and supply exchanged?",
            refuses=False,
        )


def _saturation(equipment: Equipment, curve: Curve, psig: Value | None) -> float | None:
    """None where there is nothing to say."""
    if psig is None or equipment.refrigerant is None or equipment.inverter:
        return None
    try:
        return saturation_f(
            equipment.refrigerant, curve, float(psig), equipment.sea_level_or_elevation_ft
        )
    except OutsideTable:
        return None
