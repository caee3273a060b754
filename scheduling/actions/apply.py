"""The verb that turns a run's proposal into pencilled and held visits, all or nothing."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.db.models import F

from scheduling import states
from scheduling.actions.runs import RunRefused
from scheduling.models import RunState, SeasonRun, State, Visit
from scheduling.proposal import Leaving, Placing, Proposal

MOVABLE = (*states.OPEN, states.MISSED)
SLOT_FIELDS = ["state", "technician_id", "starts_at", "ends_at", "warmth", "travel_added_min",
               "held_since", "why", "release", "version"]  # fmt: skip


@transaction.atomic
def apply_run(*, run: SeasonRun, now: dt.datetime) -> int:
    """Write a ready run into the season in one transaction; returns how many visits changed.

    Refuses when any visit changed since the plan was made: the office then
    plans again, which starts from what stands.
    """
    taken = SeasonRun.objects.filter(pk=run.pk, state=RunState.READY).update(state=RunState.APPLIED)
    if not taken:
        raise RunRefused("This plan was applied or discarded already.")
    rows = {
        row.pk: row
        for row in Visit.objects.for_season(run.season).select_for_update().order_by("pk")
    }
    _refuse_stale(run, rows)
    proposal = Proposal.from_json(run.best)
    placings = [(rows[p.visit], p) for p in proposal.placings if not _stands(rows[p.visit], p)]
    leavings = [(rows[x.visit], x) for x in proposal.leavings]
    _clear([row for row, _ in (*placings, *leavings)])
    for row, placing in placings:
        _place(row, placing)
    for row, leaving in leavings:
        _leave(row, leaving, now)
    changed = [row for row, _ in (*placings, *leavings)]
    Visit.objects.bulk_update(changed, SLOT_FIELDS, batch_size=200)
    return len(changed)


def _refuse_stale(run: SeasonRun, rows: dict[int, Visit]) -> None:
    planned = {int(pk): version for pk, version in run.versions.items()}
    stale = sum(pk not in rows or rows[pk].version != seen for pk, seen in planned.items())
    if stale:
        visits = "1 visit has" if stale == 1 else f"{stale} visits have"
        raise RunRefused(f"{visits} changed since this plan was made. Plan again; it is quick.")


def _stands(row: Visit, placing: Placing) -> bool:
    """Nothing to write. What a customer was told of stays as it is; the watch keeps its warmth."""
    same_slot = (row.technician_id, row.starts_at) == (placing.technician, placing.starts_at)
    return same_slot and (row.state in states.AGREED or row.warmth == placing.warmth)


def _clear(rows: list[Visit]) -> None:
    """Empty every slot first: two visits may trade places, and a slot is unique."""
    Visit.objects.filter(pk__in=[row.pk for row in rows], starts_at__isnull=False).update(
        state=State.OWED, technician=None, starts_at=None, ends_at=None, version=F("version") + 1
    )


def _place(row: Visit, placing: Placing) -> None:
    states.check_step(row.state, State.PENCILLED)
    row.state, row.technician_id = State.PENCILLED, placing.technician
    row.starts_at, row.ends_at = placing.starts_at, placing.ends_at
    row.warmth, row.travel_added_min = placing.warmth, placing.travel_added_min
    row.held_since, row.why, row.release = None, "", ""
    row.version += 2


def _leave(row: Visit, leaving: Leaving, now: dt.datetime) -> None:
    if row.state != leaving.state:
        states.check_step(row.state, leaving.state)
    since = row.held_since or now
    row.state, row.technician_id = leaving.state, None
    row.starts_at = row.ends_at = row.warmth = row.travel_added_min = None
    row.held_since = since if leaving.state == State.HELD else None
    row.why, row.release = leaving.why[:300], leaving.release[:300]
    row.version += 2
