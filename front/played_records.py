"""A played technician's phone: buttons, readings, parts and recommendations, by the phone's verbs.

What is invented is chance alone: which homes have something wrong (shares of this project, no
source). The readings are those of a machine in order, or with one fault, in the weather that came.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from random import Random
from typing import Any
from uuid import UUID

from customers.actions import save_equipment
from customers.models import Nameplate, System
from fieldwork.actions.phone import Sender, take_event
from fieldwork.events import read_envelope
from fieldwork.reading import systems_of
from fieldwork.readings.airflow import target_split_f
from fieldwork.readings.saturation import saturation_psig
from fieldwork.readings.superheat_chart import NotTestable, target_superheat_f
from kit.when import minute_of_day
from scheduling.models import Visit

RETURN_F, RETURN_WB_F = 76.0, 66.0
MINUTE = dt.timedelta(minutes=1)
# What is found, in order; the rest is in order. Then what is done or said about it.
FAULTS: tuple[tuple[float, str], ...] = (
    (0.10, "capacitor"), (0.08, "low charge"), (0.12, "dirty filter"), (0.10, "plants"),
    (0.08, "dusty coil"),
)  # fmt: skip
PARTS = {"capacitor": "Capacitor 45/5 µF", "dirty filter": "Filter 16x25x1"}
ADVICE = {
    "low charge": ("Look for the leak before next summer", "act"),
    "plants": ("Cut the plants back to two feet", "watch"),
}


def play_record(
    visit: Visit, found_f: float, chance: Random, *, cold: bool, drive_min: int
) -> None:
    """One trip on the phone, from the drive to the button that ends it. °F."""
    arrives = visit.slot[0] + chance.randint(-4, 6) * MINUTE
    drive = (
        _event(visit, chance, "stamp", arrives - drive_min * MINUTE, stamp="on_the_way"),
        _event(visit, chance, "stamp", arrives, stamp="there"),
    )
    for raw, at in (*drive, *_events(visit, arrives, found_f, chance, cold)):
        technician = visit.technician
        assert technician is not None
        assert technician.user is not None
        take_event(
            envelope=read_envelope(raw),
            sender=Sender(technician, technician.user, f"played-{technician.pk}"),
            phone_now=at,
            now=at,
        )


def _events(
    visit: Visit, arrives: dt.datetime, found_f: float, chance: Random, cold: bool
) -> Iterator[tuple[dict[str, Any], dt.datetime]]:
    at = arrives + 12 * MINUTE
    for system in systems_of(visit):
        if not system.cools:
            continue
        fault = _fault(chance)
        for field, typed in _readings(system, found_f, fault, cold).items():
            yield _event(visit, chance, "entry", at, system=system.pk, field=field, typed=typed,
                         sure=True)  # fmt: skip
        if not cold:
            yield from _said(visit, system, fault, at, chance)
    ends = max(visit.slot[1] + chance.randint(-15, 10) * MINUTE, at + 5 * MINUTE)
    yield _event(visit, chance, "stamp", ends, stamp="too_cold" if cold else "done")


def _said(
    visit: Visit, system: System, fault: str, at: dt.datetime, chance: Random
) -> Iterator[tuple[dict[str, Any], dt.datetime]]:
    if fault in PARTS:
        yield _event(visit, chance, "part", at, system=system.pk, words=PARTS[fault], quantity=1)
    if fault in ADVICE:
        words, urgency = ADVICE[fault]
        yield _event(visit, chance, "recommendation", at, system=system.pk, words=words,
                     urgency=urgency)  # fmt: skip


def _fault(chance: Random) -> str:
    luck = chance.random()
    for share, name in FAULTS:
        if luck < share:
            return name
        luck -= share
    return ""


def _readings(system: System, found_f: float, fault: str, cold: bool) -> dict[str, str]:
    """As typed. What is not on file is read from the plate first."""
    outdoor_f = found_f if cold else found_f + 3.0
    if cold:
        return {"outdoor_db_f": f"{outdoor_f:.0f}", "capacitor_compressor_uf": "44"}
    _read_plate(system)
    refrigerant: Any = system.refrigerant
    target = target_superheat_f(outdoor_f, RETURN_WB_F)
    superheat_f = 12.0 if isinstance(target, NotTestable) else target
    low = 12.0 if fault == "low charge" else 0.0
    suction_f, liquid_f = 42.0 - low, outdoor_f + 22.0
    return {
        "outdoor_db_f": f"{outdoor_f:.0f}",
        "minutes_running": "20",
        "return_db_f": f"{RETURN_F:.0f}",
        "return_wb_f": f"{RETURN_WB_F:.0f}",
        "supply_db_f": f"{RETURN_F - target_split_f(RETURN_F, RETURN_WB_F):.1f}",
        "suction_psig": f"{saturation_psig(refrigerant, 'dew', suction_f):.1f}",
        "suction_line_f": f"{suction_f + superheat_f + low:.1f}",
        "liquid_psig": f"{saturation_psig(refrigerant, 'bubble', liquid_f):.1f}",
        "liquid_line_f": f"{liquid_f - (10.0 - low / 2):.1f}",
        "capacitor_compressor_uf": "38" if fault == "capacitor" else "44.5",
        "filter": "fail" if fault == "dirty filter" else "pass",
        "outdoor_coil": "attention" if fault == "dusty coil" else "pass",
        "clearance_in": "16" if fault == "plants" else "30",
    }


def _read_plate(system: System) -> None:
    """What the technician finds printed on the unit, where it is not on file."""
    system.refrigerant = system.refrigerant or "R-410A"
    system.metering = system.metering or "fixed"
    system.tons = system.tons or 3
    plate = Nameplate.objects.filter(system=system).first() or Nameplate(system=system)
    plate.target_subcooling_f = plate.target_subcooling_f or 10
    save_equipment(system=system, nameplate=plate)


def _event(
    visit: Visit, chance: Random, kind: str, at: dt.datetime, **payload: Any
) -> tuple[dict[str, Any], dt.datetime]:
    """As the phone writes it down, and when."""
    zone = visit.season.branch.zone
    raw = {
        "key": str(UUID(int=chance.getrandbits(128), version=4)),
        "seq": int(at.timestamp()) * 100 + minute_of_day(at, zone) % 100,
        "kind": kind,
        "visit": visit.pk,
        "day": visit.slot[0].astimezone(zone).date().isoformat(),
        "phone_at": round(at.timestamp() * 1000),
        "payload": payload,
    }
    return raw, at
