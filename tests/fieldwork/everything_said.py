"""All that judgements can say to a customer: found by judging, not by reading the source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from fieldwork.readings import FIELDS, Judgement, check_lists, fields_for, hard_range, judge
from tests.fieldwork.readings.units import FIXED, FURNACE, HEAT_PUMP, PACKAGE, VALVE

EQUIPMENT = (
    replace(FIXED, refrigerant="R-454B", most_breaker_a=20.0, phases=3),
    VALVE, HEAT_PUMP, replace(PACKAGE, fuel="natural_gas"),
    replace(FURNACE, least_flame_ua=1.0, manifold_in_wc=3.5, capacitor_fan_uf=5.0),
    replace(FIXED, inverter=True),
)  # fmt: skip
SHARES = (0.0, 0.2, 0.5, 1.0)
# So that the gate is open and everything else can be judged.
BASE = {
    "outdoor_db_f": 80.0, "minutes_running": 20.0, "return_db_f": 76.0, "return_wb_f": 62.0,
    "supply_db_f": 57.0, "suction_psig": 130.0, "liquid_psig": 317.0, "suction_line_f": 57.0,
    "liquid_line_f": 90.0, "airflow_cfm": 1150.0, "supply_wb_f": 54.0, "line_v_running": 236.0,
    "line_v_l2_l3": 236.0, "line_v_l1_l3": 236.0, "burner_on_steady": True, "flue_co_ppm": 20.0,
    "flue_o2_percent": 7.0, "gas_type": "natural_gas", "meter_dial_ft3": "1", "meter_seconds": 46.0,
    "heating_return_f": 68.0, "heating_supply_f": 118.0, "aux_heat_stage_1_a": 40.0,
}  # fmt: skip


def judgements() -> Iterator[Judgement]:
    """Every field by itself at every answer, or from one end of its range to the other."""
    for equipment in EQUIPMENT:
        lists = check_lists(equipment, "both")
        yield judge(equipment, {}, lists=lists)
        for field in fields_for(equipment, lists):
            for value in _values(field, equipment):
                yield judge(equipment, {**BASE, field.name: value}, lists=lists)


def _values(field, equipment):
    if field.kind == "yes_no":
        return (True, False)
    if field.kind != "number":
        return [stored for stored, _ in field.choices]
    low, high = hard_range(field, equipment, BASE) or (0.0, 100.0)
    near = BASE.get(field.name)
    close = [near * share for share in (0.9, 0.95, 1.05, 1.1)] if near else []
    return [*(low + share * (high - low) for share in SHARES), *close]


def sentences() -> set[str]:
    """Of verdicts, emergencies and the names of fields that an answer can be about."""
    found = set()
    for judgement in judgements():
        found |= {v.plain for v in judgement.verdicts if v.plain}
        for one in judgement.emergencies:
            found |= {one.plain, one.title.partition(": ")[0]}
    return found


def labels() -> set[str]:
    """Built-in readings, as the report may name them, and the words of their answers."""
    fields = FIELDS.values()
    chosen = chain.from_iterable(field.choices for field in fields if field.kind != "number")
    return {field.label for field in fields} | {words for _, words in chosen}
