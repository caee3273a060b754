"""The verb that writes one reading."""

from __future__ import annotations

import datetime as dt

from django.utils import timezone

from customers.models import System
from fieldwork.actions.refusals import Asked, Kept
from fieldwork.events import BadEvent, Typed
from fieldwork.models import Entry, PhoneEvent, Record
from fieldwork.reading import equipment_of, lists_for, readings_of, with_plate_read
from fieldwork.readings import FIELDS, Field, Refused, read_entry
from fieldwork.readings import Asked as AskedByReader
from kit import words
from scheduling.models import Visit

A_MOMENT = dt.timedelta(milliseconds=1)


def type_entry(
    *, record: Record, visit: Visit, system: System, said: Typed, event: PhoneEvent,
    decided: bool = False,
) -> Entry:  # fmt: skip
    """Write what was typed. Nothing that was typed elsewhere is written over.

    Raises Kept when another phone changed the field since this one saw it, unless `decided` by
    the office; Asked for a value that is odd; BadEvent for one that cannot be.
    """
    field = _field(record, said.field)
    entries = list(record.entries.filter(system=system).select_related("event"))
    current = next((e for e in reversed(entries) if e.field == said.field), None)
    if current and not decided:
        _refuse_overwriting(current, said, event, visit)
    value = _value(field, said, system, visit, entries, sure=said.sure or decided)
    return Entry.objects.create(
        record=record, system=system, field=said.field, typed=said.typed, value=value,
        note=said.note, sure=said.sure, by=event.by, event=event,
        made_at=event.received_at if decided else _moment(event, current),
    )  # fmt: skip


def _field(record: Record, name: str) -> Field:
    own = {item.key: item.field for item in record.version.lines() if item.kind == "look"}
    field = FIELDS.get(name) or own.get(name)
    if field is None:
        raise BadEvent("This reading is not on the check list; load the page again.")
    return field


def _refuse_overwriting(current: Entry, said: Typed, event: PhoneEvent, visit: Visit) -> None:
    same_phone = current.event.device == event.device
    same_words = (current.typed, current.note) == (said.typed, said.note)
    if same_phone or same_words or current.pk == said.seen:
        return
    at = words.clock(timezone.localtime(current.made_at, visit.season.branch.zone))
    raise Kept(
        f"{current.label}: changed on another phone at {at} to {current.shown}; "
        f"here “{said.typed or 'nothing'}” was typed."
    )


def _value(
    field: Field, said: Typed, system: System, visit: Visit, entries: list[Entry], *, sure: bool
) -> float | str | bool | None:
    equipment = equipment_of(system, visit.owed_visit.home, visit.season.branch)
    so_far = readings_of(entries, system)
    so_far.pop(field.name, None)
    known = with_plate_read(equipment, so_far)
    read = read_entry(field, said.typed, known, so_far, sure, lists_for(visit, known))
    if isinstance(read, Refused):
        raise BadEvent(read.words)
    if isinstance(read, AskedByReader):
        raise Asked(read.question, read.instead)
    return read.value


def _moment(event: PhoneEvent, current: Entry | None) -> dt.datetime:
    """When it was typed. On one phone its own counting tells the order, whatever its clock did."""
    if current is None or current.event.device != event.device:
        return event.made_at
    if event.seq > current.event.seq:
        return max(event.made_at, current.made_at + A_MOMENT)
    if event.seq < current.event.seq:
        return min(event.made_at, current.made_at - A_MOMENT)
    return event.made_at
