"""Every reading of a check list, by name, and which of them one equipment is asked for."""

from __future__ import annotations

from typing import Literal

from fieldwork.readings.equipment import A2L, Equipment
from fieldwork.readings.fields.cooling import COOLING
from fieldwork.readings.fields.field import SECTIONS, CheckList, Field
from fieldwork.readings.fields.heating import EVERY_HEATING

FIELDS: dict[str, Field] = {field.name: field for field in (*COOLING, *EVERY_HEATING)}

THREE_PHASE = ("line_v_l2_l3", "line_v_l1_l3")
GAUGES = ("suction_psig", "liquid_psig", "suction_line_f", "liquid_line_f")
_PARTS = list(SECTIONS)


def check_lists(
    equipment: Equipment, work: Literal["cooling", "heating", "both"]
) -> tuple[CheckList, ...]:
    """The lists that a visit for `work` goes through at this equipment; none for an air handler."""
    lists: list[CheckList] = []
    if work != "heating" and equipment.cools:
        lists.append("cooling")
    if work != "cooling" and equipment.burns:
        lists.append("furnace")
    if work != "cooling" and equipment.kind == "heat_pump":
        lists.append("heat_pump")
    return tuple(lists)


def fields_for(equipment: Equipment, lists: tuple[CheckList, ...]) -> tuple[Field, ...]:
    """What to ask at this equipment, in working order; left out is what it cannot have."""
    asked = [field for field in FIELDS.values() if set(lists) & set(field.checks)]
    return tuple(
        sorted(
            (field for field in asked if not _pointless(field, equipment)),
            key=lambda field: _PARTS.index(field.group),
        )
    )


def _pointless(field: Field, equipment: Equipment) -> bool:
    if field.name in THREE_PHASE:
        return equipment.phases != 3
    if field.name in GAUGES:
        return equipment.inverter is True
    if field.name == "leak_sensor_alarm":
        return equipment.refrigerant not in A2L
    return False
