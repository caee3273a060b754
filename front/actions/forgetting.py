"""The verbs of the night: what was kept long enough goes (config.settings.KEPT_DAYS)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from agreements.models import SpreadsheetImport
from customers.models import Home, HomeLook
from customers.models.look import LEAST_KEPT_DAYS
from fieldwork.models import Record
from front.personal.files import delete_files
from kit.web.append_only import ERASED
from letters.actions.emptying import empty_letters
from letters.models import Letter, LetterState
from letters.models.letter import IN_HAND
from scheduling.models import Technician
from scheduling.road_cache import keep_drives_of

# So many records in one transaction: their files go with them.
AT_ONCE = 200


def forget(*, kept_days: Mapping[str, int], now: dt.datetime) -> dict[str, int]:
    """Everything past its time; how many of each went. 0 days: kept for ever."""
    counts = {
        what: _FORGET[what](now - dt.timedelta(days=days))
        for what, days in kept_days.items()
        if days
    }
    counts["sessions"], _ = Session.objects.filter(expire_date__lt=now).delete()
    counts["drives"] = keep_drives_of(_places())
    return counts


def _places() -> set[tuple[float | None, float | None]]:
    """Where somebody is now; of homes that were emptied or moved the drives go."""
    models = (Home, Technician)
    known = (model.objects.exclude(latitude=None) for model in models)
    return {point for rows in known for point in rows.values_list("latitude", "longitude")}


def _letters(before: dt.datetime) -> int:
    old = Letter.objects.filter(written_at__lt=before).exclude(body=ERASED)
    return empty_letters(letters=old.exclude(state__in=[LetterState.WAITING, *IN_HAND]))


def _records(before: dt.datetime) -> int:
    """Photos, signatures and free words; what was measured stays."""
    gone = 0
    while records := list(_old_records(before)[:AT_ONCE]):
        with transaction.atomic():
            for record in records:
                _empty(record)
        gone += len(records)
    return gone


def _old_records(before: dt.datetime):
    signed = ~Q(signature="") | ~Q(signed_name__in=["", ERASED])
    return Record.objects.filter(
        Q(photos__isnull=False) | signed, completed_at__lt=before
    ).distinct()


def _empty(record: Record) -> None:
    files = [photo.image for photo in record.photos.all()]
    events = record.visit.phone_events.filter(day=record.day)
    files += [event.file for event in events if event.file]
    files += [record.signature] if record.signature else []
    record.photos.all().delete()
    record.entries.exclude(note="").update(note=ERASED)
    events.update(payload={}, file="")
    record.signature = ""
    record.signed_name = ERASED if record.signed_name else ""
    record.save(update_fields=["signature", "signed_name"])
    transaction.on_commit(lambda: delete_files(files))


def _looks(before: dt.datetime) -> int:
    least = timezone.now() - dt.timedelta(days=LEAST_KEPT_DAYS + 1)  # by the database's own clock
    return HomeLook.objects.before(min(before, least)).delete()[0]


def _sign_ins(before: dt.datetime) -> int:
    models = (AccessAttempt, AccessFailureLog, AccessLog)
    return sum(model.objects.filter(attempt_time__lt=before).delete()[0] for model in models)


def _sheets(before: dt.datetime) -> int:
    return SpreadsheetImport.objects.filter(created_at__lt=before).delete()[0]


_FORGET: dict[str, Callable[[dt.datetime], int]] = {
    "letters": _letters,
    "records": _records,
    "looks": _looks,
    "sign_ins": _sign_ins,
    "sheets": _sheets,
}
