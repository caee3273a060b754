"""May a phone still write about this visit? And the record that it writes into."""

from __future__ import annotations

import datetime as dt

from django.utils import timezone

from fieldwork.actions.check_lists import current_version
from fieldwork.actions.refusals import Kept
from fieldwork.models import PhoneEvent, Record
from fieldwork.reading import list_kind_of, systems_of
from kit import words
from scheduling.models import Technician, Visit


def open_record(*, visit: Visit, day: dt.date, technician: Technician, now: dt.datetime) -> Record:
    """The record of this trip, begun if it is not there yet; locked until the transaction ends."""
    found = Record.objects.select_for_update().filter(visit=visit, day=day).first()
    if found:
        return found
    branch = visit.season.branch
    kind = list_kind_of(visit, systems_of(visit))
    version = current_version(branch=branch, kind=kind, now=now)
    begun, _ = Record.objects.get_or_create(
        visit=visit,
        day=day,
        defaults={
            "technician": technician,
            "version": version,
            "slot_starts_at": visit.starts_at,
        },
    )
    return Record.objects.select_for_update().get(pk=begun.pk)


def check_standing(*, visit: Visit, event: PhoneEvent) -> None:
    """Raise Kept when the office gave the visit another time or technician meanwhile."""
    record = Record.objects.filter(visit=visit, day=event.day).first()
    if record and record.completed_at:
        return  # what may still come to a finished record is decided where it is applied
    if visit.starts_at is None:
        raise Kept(f"The office took this visit out of the day; it is {visit.state} now.")
    day = timezone.localtime(visit.starts_at, visit.season.branch.zone).date()
    if day != event.day:
        raise Kept(f"The office moved this visit to {words.day_name(day)}.")
    if visit.technician_id != event.technician_id:
        raise Kept(f"The office gave this visit to {visit.technician}.")
