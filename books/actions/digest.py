"""The verb that reads finished records into digests, so that findings are counted by SQL."""

from __future__ import annotations

import datetime as dt
from typing import Any

from books.models import RecordDigest
from books.models.digest import unread
from fieldwork.readings import Outcome
from scheduling.models import Season

# A system without cooling leaves "owed" in its judgement, so that counts last.
COUNTS_FIRST = ("provisional", "warm", "owed")
NO_FINDING = "A"  # conditions of the test


def digest_records(*, season: Season, now: dt.datetime, most: int = 1000) -> int:
    """Read at most so many records that have none, or were judged anew; returns how many."""
    rows = unread(season).order_by("pk").only("judgement")[:most]
    made = [digest_of(row.pk, row.judgement, now) for row in rows]
    RecordDigest.objects.bulk_create(
        made,
        update_conflicts=True,
        unique_fields=["record"],
        update_fields=["read_at", "test", "act", "watch", "testable"],
        batch_size=500,
    )
    return len(made)


def digest_of(record_id: int, judgement: dict[str, Any], now: dt.datetime) -> RecordDigest:
    """The digest of a kept judgement ({system: fieldwork.judgements.stored}), not saved."""
    systems = list(judgement.values())
    tests = {system.get("test", "owed") for system in systems}
    emergency = "!" if any(system.get("emergencies") for system in systems) else ""
    return RecordDigest(
        record_id=record_id,
        read_at=now,
        test=next((test for test in COUNTS_FIRST if test in tests), ""),
        act=emergency + _groups(systems, Outcome.ACT),
        watch=_groups(systems, Outcome.WATCH),
        testable=any(system.get("gate", {}).get("is_open") for system in systems),
    )


def _groups(systems: list[dict[str, Any]], outcome: str) -> str:
    found = {
        verdict.get("group", "")
        for system in systems
        for verdict in system.get("verdicts", ())
        if verdict.get("outcome") == outcome and verdict.get("applies", True)
    }
    return "".join(sorted(found - {NO_FINDING, ""}))
