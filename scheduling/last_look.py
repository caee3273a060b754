"""The last look: what is promised today and turned too cold is called off before anybody drives.

On real springs a look on the morning itself is worth more than any other rule (decision 7). There
is no time left for a letter with another time, so the office telephones, and the check is held.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from kit import words
from kit.when import moment_at, utc_offset_h
from scheduling.looking import ASKED_AGAIN_AFTER, Look
from scheduling.models import RepairStep, State, Visit, What
from scheduling.outlooks import source_on
from scheduling.reading import test_temperature_of
from scheduling.repairing import Steps
from weather.warmth import SPAN_H


def calls_off(look: Look, refused: Mapping[int, float]) -> Steps:
    """A step for each promise of the rest of today that is too cold by now. Two queries."""
    limit = look.season.branch.hold_limit
    found = ((visit, _warmth(look, visit)) for visit in _still_to_come(look))
    return [
        (_step(look, visit, warmth), [])
        for visit, warmth in found
        if warmth < min(limit, refused.get(visit.pk, 2.0) - ASKED_AGAIN_AFTER)
    ]


def _still_to_come(look: Look) -> Iterator[Visit]:
    midnight = moment_at(look.today + dt.timedelta(days=1), 0, look.season.branch.zone)
    return (
        Visit.objects.for_season(look.season)
        .needing_warmth()
        .filter(state=State.PROMISED, starts_at__gt=look.now, starts_at__lt=midnight)
        .with_home()
        .prefetch_related("owed_visit__agreement__systems")
        .order_by("starts_at")
        .iterator(chunk_size=200)
    )


def _warmth(look: Look, visit: Visit) -> float:
    branch = look.season.branch
    starts_at = visit.slot[0].astimezone(branch.zone)
    return look.snapshot.outlook.warmth(
        starts_at.date(),
        starts_at.hour + starts_at.minute / 60,
        SPAN_H,
        test_temperature_of(branch, visit.owed_visit.agreement.systems.all()),
        clock_offset_h=utc_offset_h(starts_at.date(), branch.zone),
    )


def _step(look: Look, visit: Visit, warmth: float) -> RepairStep:
    zone = look.season.branch.zone
    starts_at = visit.slot[0].astimezone(zone)
    source = source_on(look.snapshot.outlook, starts_at.date(), zone)
    phone = visit.owed_visit.home.customer.phone or "no telephone on file"
    return RepairStep(
        visit=visit,
        version=visit.version,
        what=What.HOLD,
        from_technician_id=visit.technician_id,
        from_starts_at=visit.starts_at,
        warmth_before=warmth,
        why=f"Today, {words.clock(starts_at)}, is {words.warmth(warmth)} by the {source}. "
        f"It is today: telephone before you agree ({phone}).",
    )
