"""Records of Ingrid's Monday that have something to report."""

from __future__ import annotations

import datetime as dt

from fieldwork.models import Record
from fieldwork.report import reports
from letters.models import Letter
from tests import cast
from tests.fieldwork import day_of_checks as story

DONE = story.NOON + dt.timedelta(hours=1)
DANGER = {
    "key": "ambient_co", "title": "CO in the room: 45 ppm", "action": "Air the room.",
    "plain": "There was carbon monoxide in the room.", "used": ["ambient_co_after_ppm"],
}  # fmt: skip


def finished(readings: dict[str, str] = story.GOOD, recommended: str = "") -> Record:
    """A cooling check, closed at one o'clock."""
    cast.letterhead()
    visit = story.stop()
    story.read(visit, readings)
    if recommended:
        said = {"system": None, "words": recommended, "urgency": "watch"}
        story.send(story.event("recommendation", visit, **said))
    story.send(story.stamp(visit, "done", DONE), now=DONE)
    return again(visit)


def again(visit) -> Record:
    return reports(cast.cedarburg()).get(visit=visit)


def alarmed(record: Record) -> Record:
    """The same record with an emergency in its judgement, and its letter not written."""
    (row,) = record.judgement.values()
    row["emergencies"] = [DANGER]
    record.save(update_fields=["judgement"])
    Letter.objects.filter(kind="report").delete()
    return record
