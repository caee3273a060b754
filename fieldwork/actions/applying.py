"""What each kind of event does to the record of its visit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.core.files.base import ContentFile
from django.utils import timezone

from customers.models import System
from fieldwork import events
from fieldwork.actions.entries import type_entry
from fieldwork.actions.finishing import finish_record
from fieldwork.actions.refusals import Kept
from fieldwork.actions.settling import settle_conflict
from fieldwork.announcements import announce_report
from fieldwork.events import BadEvent
from fieldwork.models import (
    EventState,
    PartUsed,
    PhoneEvent,
    Photo,
    Recommendation,
    Record,
    RouteOrder,
    Stamp,
    StampKind,
    Urgency,
)
from fieldwork.pictures import clean_photo, clean_signature
from fieldwork.reading import systems_of
from kit import words
from scheduling.announcements import announce_coming
from scheduling.models import State, Visit

# A letter "on the way" that comes later than this tells nobody anything.
NEWS_LASTS = dt.timedelta(minutes=20)
REMOVABLE = ("part", "photo")
URGENCY = {"watch": Urgency.WATCH, "act": Urgency.ACT}


@dataclass(frozen=True)
class Subject:
    """What an event is about. `decided`: the office lets it count against what stands there."""

    event: PhoneEvent
    visit: Visit | None
    record: Record | None
    now: dt.datetime
    file: bytes | None = None
    decided: bool = False

    @property
    def open_record(self) -> Record:
        """The record. Raises Kept when it was finished before this was done."""
        assert self.record is not None
        done_at = self.record.completed_at
        if done_at and not self.decided and self.event.made_at > done_at:
            local = timezone.localtime(done_at, self.the_visit.season.branch.zone)
            raise Kept(f"The record was already finished at {words.clock(local)}.")
        return self.record

    @property
    def the_visit(self) -> Visit:
        assert self.visit is not None
        return self.visit

    def system(self, pk: int | None) -> System | None:
        """One of the visit's systems. Raises BadEvent for any other."""
        if pk is None:
            return None
        found = next((system for system in systems_of(self.the_visit) if system.pk == pk), None)
        if found is None:
            raise BadEvent("This system does not belong to the visit.")
        return found


def apply_event(subject: Subject, said: Any) -> None:
    """Write what was said. Raises Kept, Asked, BadEvent or BadPicture."""
    _APPLY[subject.event.kind](subject, said)


def _stamp(subject: Subject, said: events.Stamped) -> None:
    record, event = subject.record, subject.event
    assert record is not None
    Stamp.objects.create(
        record=record, kind=said.kind, why=said.why, event=event,
        phone_at=event.phone_at, made_at=event.made_at, received_at=event.received_at,
    )  # fmt: skip
    if said.kind == StampKind.ON_THE_WAY:
        _set_out(subject, record)
    elif said.kind == StampKind.THERE:
        _note_time(record, "arrived_at", event.made_at)
    elif said.kind != record.outcome or not record.completed_at:
        finished = finish_record(
            record=subject.open_record, visit=subject.the_visit, kind=said.kind, why=said.why,
            at=event.made_at, by=event.by,
        )  # fmt: skip
        announce_report(record=finished, now=subject.now)


def _set_out(subject: Subject, record: Record) -> None:
    _note_time(record, "on_the_way_at", subject.event.made_at)
    late = subject.now - subject.event.made_at > NEWS_LASTS
    if subject.the_visit.state == State.PROMISED and not late and record.arrived_at is None:
        announce_coming(subject.the_visit, "on_the_way", subject.now)


def _note_time(record: Record, name: str, at: dt.datetime) -> None:
    """The first press counts."""
    if getattr(record, name) is None:
        setattr(record, name, at)
        record.save(update_fields=[name])


def _entry(subject: Subject, said: events.Typed) -> None:
    system = subject.system(said.system)
    assert system is not None
    if subject.record and subject.record.completed_at and not subject.decided:
        raise Kept("The record was finished before this reading arrived.")
    type_entry(
        record=subject.open_record, visit=subject.the_visit, system=system, said=said,
        event=subject.event, decided=subject.decided,
    )  # fmt: skip


def _part(subject: Subject, said: events.Part) -> None:
    PartUsed.objects.create(
        record=subject.open_record,
        system=subject.system(said.system),
        words=said.words,
        quantity=said.quantity,
        replaces=said.replaces,
        event=subject.event,
    )


def _recommendation(subject: Subject, said: events.Recommended) -> None:
    at = subject.event.made_at
    Recommendation.objects.create(
        record=subject.open_record, system=subject.system(said.system), words=said.words,
        urgency=URGENCY[said.urgency], made_at=at, changed_at=at, event=subject.event,
    )  # fmt: skip


def _signed(subject: Subject, said: events.Signed) -> None:
    record = subject.open_record
    if said.present is not None:
        record.customer_present = said.present
    if said.name:
        record.signed_name, record.signed_at = said.name, subject.event.made_at
    record.save()


def _signature(subject: Subject, said: events.Signed) -> None:
    """The name, and the signature as a picture."""
    record = subject.open_record
    picture = clean_signature(subject.file or b"")
    record.signature.save(f"{subject.event.client_key}.png", ContentFile(picture), save=False)
    _signed(subject, said)


def _certificate(subject: Subject, said: events.Certificate) -> None:
    record = subject.open_record
    record.certificate_608 = said.number
    record.save(update_fields=["certificate_608"])


def _photo(subject: Subject, said: events.Pictured) -> None:
    picture = clean_photo(subject.file or b"")
    photo = Photo(
        record=subject.open_record, system=subject.system(said.system), item=said.item,
        words=said.words, width=picture.width, height=picture.height,
        taken_at=subject.event.made_at, event=subject.event,
    )  # fmt: skip
    photo.image.save(f"{subject.event.client_key}.jpg", ContentFile(picture.jpeg), save=False)
    photo.save()


def _removal(subject: Subject, said: events.Removal) -> None:
    """Take a part or photo back. Whoever removes it first is on record; again does nothing."""
    record, event = subject.open_record, subject.event
    brought = PhoneEvent.objects.filter(
        client_key=said.of, visit=subject.the_visit, day=event.day, kind__in=REMOVABLE
    ).first()
    if brought is None:
        raise BadEvent("No such part or photo is on this record.")
    settle_conflict(event=brought, by=event.by, now=subject.now, state=EventState.LEFT)
    for model in (PartUsed, Photo):
        model.objects.filter(record=record, event=brought, removed=None).update(removed=event)


def _order(subject: Subject, said: events.Ordered) -> None:
    event = subject.event
    RouteOrder.objects.create(
        technician=event.technician, day=event.day, visits=list(said.visits), why=said.why,
        made_at=event.made_at, event=event,
    )  # fmt: skip


_APPLY: dict[str, Callable[[Subject, Any], None]] = {
    "stamp": _stamp,
    "entry": _entry,
    "part": _part,
    "recommendation": _recommendation,
    "signed": _signed,
    "signature": _signature,
    "certificate": _certificate,
    "photo": _photo,
    "removal": _removal,
    "order": _order,
}
