"""Ingrid's Monday for the stories: promised cooling checks, a phone, and what it sends."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

from customers.models import Nameplate, System
from fieldwork.actions.phone import Answer, Sender, take_event
from fieldwork.events import read_envelope
from fieldwork.models import Record
from scheduling.actions.visits import promise_visit
from scheduling.models import Technician, Visit
from tests.scheduling import spring

DAY = spring.MONDAY
NOON = spring.at(DAY, 12)
DEVICE = "ingrids-phone"
# A healthy three ton R-410A system with a fixed orifice: every group can be judged.
GOOD = {
    "outdoor_db_f": "90", "minutes_running": "20", "return_db_f": "76", "return_wb_f": "66",
    "supply_db_f": "58.5", "suction_psig": "118", "suction_line_f": "53", "liquid_psig": "365",
    "liquid_line_f": "100",
}  # fmt: skip
COLD = GOOD | {"outdoor_db_f": "48"}


def stop(hour: int = 9, technician: Technician | None = None, **home: object) -> Visit:
    """One promised cooling check of Ingrid's Monday, at an R-410A system."""
    season = spring.season()
    visit = spring.owed(season, **home)
    promise_visit(
        visit=visit,
        technician=technician or spring.technician(),
        starts_at=spring.at(DAY, hour),
        minutes=55,
        now=spring.at(DAY, 7),
    )
    System.objects.filter(home=visit.owed_visit.home).update(
        refrigerant="R-410A", metering="fixed", tons=3
    )
    Nameplate.objects.create(system=system_of(visit), capacitor_compressor_uf=40)
    return Visit.objects.get(pk=visit.pk)


def system_of(visit: Visit) -> System:
    return System.objects.get(home=visit.owed_visit.home)


def ms(moment: dt.datetime) -> int:
    return round(moment.timestamp() * 1000)


def event(kind: str, visit: Visit | None, at: dt.datetime = NOON, **payload: Any) -> dict[str, Any]:
    """As the phone writes it down."""
    return {
        "key": str(uuid4()),
        "seq": int(at.timestamp()),
        "kind": kind,
        "visit": visit and visit.pk,
        "day": DAY.isoformat(),
        "phone_at": ms(at),
        "payload": payload,
    }


def entry(visit: Visit, field: str, typed: str, at: dt.datetime = NOON, **more: Any):
    """A reading; the technician is sure of it."""
    said = {"system": system_of(visit).pk, "field": field, "typed": typed, "sure": True} | more
    return event("entry", visit, at, **said)


def stamp(visit: Visit, kind: str, at: dt.datetime = NOON, why: str = ""):
    return event("stamp", visit, at, stamp=kind, why=why)


def send(
    raw: dict[str, Any],
    *,
    technician: Technician | None = None,
    device: str = DEVICE,
    now: dt.datetime = NOON,
    phone_now: dt.datetime | None = None,
    file: bytes | None = None,
) -> Answer:
    """What the server makes of one event, sent at `now`."""
    technician = technician or spring.technician()
    assert technician.user is not None
    return take_event(
        envelope=read_envelope(raw),
        sender=Sender(technician, technician.user, device),
        phone_now=phone_now or now,
        now=now,
        file=file,
    )


def read(visit: Visit, readings: dict[str, str] = GOOD) -> None:
    """Type a set of readings."""
    for number, (field, typed) in enumerate(readings.items()):
        answer = send(entry(visit, field, typed, NOON + dt.timedelta(seconds=number)),
                      now=NOON + dt.timedelta(minutes=5))  # fmt: skip
        assert answer.state == "applied", answer.words


def record_of(visit: Visit) -> Record:
    return Record.objects.get(visit=visit, day=DAY)
