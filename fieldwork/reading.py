"""Rows read as what the judging core takes: equipment, readings, earlier visits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Literal, cast

from agreements.models import VisitKind
from customers.models import Home, Nameplate, System, SystemKind
from fieldwork.models import CheckListKind, Entry, PartUsed, Record, Replaced
from fieldwork.readings import FIELDS, EarlierVisit, Equipment, Value
from fieldwork.readings import check_lists as lists_of
from fieldwork.readings.fields.field import CheckList
from scheduling.models import Visit
from shop.models import Branch

# Of the plate, by the same name in the row and in the judging core.
SAME = (
    "inverter", "target_subcooling_f", "subcooling_tolerance_f", "least_superheat_f",
    "most_superheat_f", "preferred_test_f", "compressor_rla_a", "outdoor_fan_fla_a",
    "blower_fla_a", "inducer_fla_a", "line_v", "line_v_lower", "phases", "most_breaker_a",
    "capacitor_compressor_uf", "capacitor_fan_uf", "capacitor_tolerance_percent",
    "most_tesp_in_wc", "gas_input_btu_h", "least_rise_f", "most_rise_f", "manifold_in_wc",
    "least_flame_ua", "aux_heat_kw",
)  # fmt: skip
# Trends look back this many earlier visits.
EARLIER = 6
# The readings whose line begins anew, by what a part replaced.
BEGINS_ANEW: dict[str, tuple[str, ...]] = {
    Replaced.CAPACITOR: ("capacitor_compressor_uf", "capacitor_fan_uf"),
    Replaced.CAPACITOR_COMPRESSOR: ("capacitor_compressor_uf",),
    Replaced.CAPACITOR_FAN: ("capacitor_fan_uf",),
    Replaced.COMPRESSOR: ("compressor_a",),
    Replaced.FLAME_SENSOR: ("flame_ua",),
}


def equipment_of(system: System, home: Home, branch: Branch) -> Equipment:
    """What is on file about a system; the home's elevation and the branch's rules fill gaps."""
    elevation_ft = branch.elevation_ft if home.elevation_ft is None else home.elevation_ft
    on_file: dict[str, Any] = {
        "refrigerant": system.refrigerant or None,
        "metering": system.metering or None,
        "tons": float(system.tons) if system.tons else None,
        "least_test_f": float(system.least_test_f or branch.test_temperature_f),
        "elevation_ft": float(elevation_ft),
    }
    plate = getattr(system, "nameplate", None)
    return Equipment(cast(Any, system.kind), **on_file | (_plate(plate) if plate else {}))


def _plate(plate: Nameplate) -> dict[str, Any]:
    share = plate.efficiency_percent
    return {name: getattr(plate, name) for name in SAME} | {
        "fuel": plate.fuel or None,
        "efficiency": None if share is None else share / 100,
    }


def with_plate_read(equipment: Equipment, readings: Mapping[str, Value]) -> Equipment:
    """The refrigerant as it was read on the plate today, where none is on file."""
    read = readings.get("refrigerant_on_plate")
    if equipment.refrigerant is None and isinstance(read, str):
        return replace(equipment, refrigerant=cast(Any, read))
    return equipment


def work_of(visit: Visit) -> Literal["cooling", "heating", "both"]:
    return cast(Any, visit.owed_visit.kind)


def lists_for(visit: Visit, equipment: Equipment) -> tuple[CheckList, ...]:
    """The lists that this visit goes through at this equipment."""
    return lists_of(equipment, work_of(visit))


def systems_of(visit: Visit) -> list[System]:
    """The systems that the agreement covers, else all of the home."""
    covered = list(visit.owed_visit.agreement.systems.all())
    return covered or list(visit.owed_visit.home.systems.all())


def list_kind_of(visit: Visit, systems: Iterable[System]) -> CheckListKind:
    """Which check list a visit goes by."""
    if any(system.kind == SystemKind.HEAT_PUMP for system in systems):
        return CheckListKind.HEAT_PUMP
    return {
        VisitKind.COOLING: CheckListKind.COOLING,
        VisitKind.HEATING: CheckListKind.HEATING,
        VisitKind.BOTH: CheckListKind.BOTH,
    }[VisitKind(visit.owed_visit.kind)]


def latest(entries: Iterable[Entry]) -> dict[tuple[int, str], Entry]:
    """The entry that counts, by system and field. `entries` come in the order of their making."""
    return {(entry.system_id, entry.field): entry for entry in entries}


def readings_of(entries: Iterable[Entry], system: System) -> dict[str, Value]:
    """What was given at a system and can be judged, by the names of FIELDS."""
    return {
        field: entry.value
        for (pk, field), entry in latest(entries).items()
        if pk == system.pk and field in FIELDS and entry.value is not None
    }


def replaced_until(system: System, record: Record) -> dict[dt.date, frozenset[str]]:
    """The readings whose part was replaced at a system, by day, up to the record's own."""
    parts = PartUsed.objects.filter(
        system=system, removed=None, record__day__lte=record.day
    ).exclude(replaces="")
    found: dict[dt.date, frozenset[str]] = {}
    for day, part in parts.values_list("record__day", "replaces"):
        found[day] = found.get(day, frozenset()).union(BEGINS_ANEW[part])
    return found


def earlier_visits(
    system: System, record: Record, replaced: Mapping[dt.date, frozenset[str]]
) -> list[EarlierVisit]:
    """What was read and replaced at a system on the days before, the newest last."""
    days: dict[dt.date, list[Entry]] = {day: [] for day in replaced if day < record.day}
    entries = Entry.objects.filter(system=system, record__day__lt=record.day)
    for entry in entries.select_related("record"):
        days.setdefault(entry.record.day, []).append(entry)
    newest = sorted(days.items())[-EARLIER:]
    return [
        EarlierVisit(day, readings_of(found, system), replaced.get(day, frozenset()))
        for day, found in newest
    ]
