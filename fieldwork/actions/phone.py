"""What a phone sends, taken over exactly once.

The event's row stands under a unique key and is written first, in the transaction that applies
it: a repeat waits for its twin and then finds the row. What meets a change made meanwhile is kept
as a conflict, never written over it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.core.files.base import ContentFile
from django.db import IntegrityError, transaction

from fieldwork.actions.applying import Subject, apply_event
from fieldwork.actions.finishing import judge_again
from fieldwork.actions.refusals import Asked, Kept
from fieldwork.actions.settling import settle_conflict
from fieldwork.actions.standing import check_standing, open_record
from fieldwork.events import OF_THE_DAY, BadEvent, Envelope, read_payload
from fieldwork.models import EventState, PhoneEvent
from fieldwork.pictures import BadPicture
from scheduling.models import Technician, Visit
from shop.models import User

UNKNOWN_VISIT = "This visit is not on file here."


@dataclass(frozen=True)
class Sender:
    """Whose phone it is, and which."""

    technician: Technician
    user: User
    device: str


@dataclass(frozen=True)
class Answer:
    """`state`: applied, conflict, refused, left, or asked (then nothing was kept).

    `already`: the event had arrived before; nothing was done now.
    """

    key: str
    state: str
    words: str = ""
    already: bool = False
    instead: float | None = None


def corrected(phone_at: dt.datetime, phone_now: dt.datetime, now: dt.datetime) -> dt.datetime:
    """A time of the phone's clock by ours: both clocks are known at the moment of sending."""
    return min(phone_at + (now - phone_now), now)


def take_event(
    *,
    envelope: Envelope,
    sender: Sender,
    phone_now: dt.datetime,
    now: dt.datetime,
    file: bytes | None = None,
) -> Answer:
    """Apply one event, or say why not. `file`: the picture that comes with it."""
    if known := _known(envelope):
        return known
    try:
        with transaction.atomic():
            return _take(envelope, sender, corrected(envelope.phone_at, phone_now, now), now, file)
    except Asked as asked:
        return Answer(str(envelope.key), "asked", str(asked), instead=asked.instead)
    except IntegrityError:
        if known := _known(envelope):
            return known
        raise


def _known(envelope: Envelope) -> Answer | None:
    event = PhoneEvent.objects.filter(client_key=envelope.key).first()
    return Answer(str(envelope.key), event.state, event.words, already=True) if event else None


def _take(
    envelope: Envelope,
    sender: Sender,
    made_at: dt.datetime,
    now: dt.datetime,
    file: bytes | None,
) -> Answer:
    visit = _visit(envelope, sender)
    event = PhoneEvent.objects.create(
        client_key=envelope.key,
        device=sender.device,
        seq=envelope.seq,
        technician=sender.technician,
        by=sender.user,
        kind=envelope.kind,
        visit=visit,
        day=envelope.day,
        payload=dict(envelope.payload),
        phone_at=envelope.phone_at,
        made_at=made_at,
        received_at=now,
        state=EventState.APPLIED,
    )
    try:
        with transaction.atomic():
            _apply(event, visit, read_payload(envelope.kind, envelope.payload), now, file)
    except Kept as kept:
        _set_aside(event, EventState.CONFLICT, str(kept), file)
    except (BadEvent, BadPicture) as bad:
        _set_aside(event, EventState.REFUSED, str(bad), None)
    return Answer(str(envelope.key), event.state, event.words)


def _visit(envelope: Envelope, sender: Sender) -> Visit | None:
    """The visit, if it is one of the technician's branch."""
    return (
        Visit.objects.filter(season__branch=sender.technician.branch, pk=envelope.visit or 0)
        .with_home()
        .select_related("season__branch")
        .first()
    )


def _apply(
    event: PhoneEvent, visit: Visit | None, said: Any, now: dt.datetime, file: bytes | None
) -> None:
    if event.kind in OF_THE_DAY:
        apply_event(Subject(event, None, None, now, file), said)
        return
    if visit is None:
        raise BadEvent(UNKNOWN_VISIT)
    check_standing(visit=visit, event=event)
    record = open_record(visit=visit, day=event.day, technician=event.technician, now=now)
    apply_event(Subject(event, visit, record, now, file), said)


def _set_aside(event: PhoneEvent, state: str, words: str, file: bytes | None) -> None:
    event.state, event.words = state, words[:300]
    if file is not None:
        event.file.save(f"{event.client_key}.jpg", ContentFile(file), save=False)
    event.save(update_fields=["state", "words", "file"])


@transaction.atomic
def take_over(*, event: PhoneEvent, by: User, now: dt.datetime) -> Answer:
    """The office lets a kept event count after all: it goes before what stands there."""
    if not settle_conflict(event=event, by=by, now=now, state=EventState.APPLIED):
        return Answer(str(event.client_key), event.state, event.words, already=True)
    assert event.visit is not None
    record = open_record(visit=event.visit, day=event.day, technician=event.technician, now=now)
    file = event.file.read() if event.file else None
    subject = Subject(event, event.visit, record, now, file, decided=True)
    apply_event(subject, read_payload(event.kind, event.payload))
    judge_again(record=record, visit=event.visit)
    return Answer(str(event.client_key), EventState.APPLIED)


@transaction.atomic
def leave_aside(*, event: PhoneEvent, by: User, now: dt.datetime) -> None:
    """The office decides that what stands is right."""
    settle_conflict(event=event, by=by, now=now, state=EventState.LEFT)
