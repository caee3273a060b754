"""The verb that turns a run's proposal into pencilled and held visits, all or nothing."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.db.models import F

from letters.actions.write import withdraw_letters
from scheduling import states
from scheduling.actions.runs import RunRefused
from scheduling.announcements import about, announce_moved
from scheduling.models import RunKind, RunState, SeasonRun, State, Visit, VisitEvent
from scheduling.proposal import Leaving, Placing, Proposal
from shop.models import User

MOVABLE = (*states.OPEN, states.MISSED)
SLOT_FIELDS = ["state", "technician_id", "starts_at", "ends_at", "warmth", "travel_added_min",
               "held_since", "why", "release", "version"]  # fmt: skip


@transaction.atomic
def apply_run(*, run: SeasonRun, now: dt.datetime, by: User | None = None) -> int:
    """Write a ready run into the season in one transaction; returns how many visits changed.

    Refuses when any visit changed since the plan was made: the office then
    plans again, which starts from what stands. What it wrote over is kept (actions.undo).
    """
    if run.kind != RunKind.PLAN or run.whole_id:
        raise RunRefused("Only a plan of the whole season as it is can be put into it.")
    taken = SeasonRun.objects.filter(pk=run.pk, state=RunState.READY).update(
        state=RunState.APPLIED, applied_at=now, applied_by=by
    )
    if not taken:
        raise RunRefused(_why_not_ready(run))
    rows = {
        row.pk: row
        for row in Visit.objects.for_season(run.season).select_for_update().order_by("pk")
    }
    _refuse_stale(run, rows)
    proposal = Proposal.from_json(run.best)
    placings = [(rows[p.visit], p) for p in proposal.placings if not _stands(rows[p.visit], p)]
    leavings = [(rows[x.visit], x) for x in proposal.leavings]
    _refuse_broken(leavings)
    changed = [row for row, _ in (*placings, *leavings)]
    told = [(row, row.slot[0]) for row, _ in placings if row.state in states.AGREED]
    before = [kept_of(row) for row in changed]
    events = [event_before(row, now, by) for row in changed]
    clear(changed)
    for row, placing in placings:
        _place(row, placing)
    for row, leaving in leavings:
        _leave(row, leaving, now)
    Visit.objects.bulk_update(changed, SLOT_FIELDS, batch_size=200)
    VisitEvent.objects.bulk_create(map(event_after, events, changed), batch_size=500)
    kept = [[*old, row.version] for old, row in zip(before, changed, strict=True)]
    SeasonRun.objects.filter(pk=run.pk).update(before=kept)
    for row, old in told:
        _tell(row, old, now)
    return len(changed)


def _refuse_broken(leavings: list[tuple[Visit, Leaving]]) -> None:
    if any(row.state in states.AGREED for row, _ in leavings):
        raise RunRefused("This plan would leave a promised visit without a time. Plan again.")


def _tell(row: Visit, old: dt.datetime, now: dt.datetime) -> None:
    """A promise moved: its customer gets a letter, and her calendar the new time."""
    Visit.objects.filter(pk=row.pk).update(sequence=F("sequence") + 1)
    row.refresh_from_db()
    withdraw_letters(about=about(row), why="the visit has another time")
    announce_moved(row, old, now, "")


def _why_not_ready(run: SeasonRun) -> str:
    """Somebody else was quicker: who, and what became of the plan."""
    now = SeasonRun.objects.select_related("applied_by").get(pk=run.pk)
    if now.state == RunState.APPLIED and now.applied_by:
        who = now.applied_by.get_full_name() or now.applied_by.get_username()
        return f"{who} has put this plan into the season already."
    return "This plan was applied or discarded already."


def kept_of(row: Visit) -> list:
    """What a visit is before it changes, as JSON."""
    moments = (row.starts_at, row.ends_at, row.held_since)
    start, end, held = (moment and moment.isoformat() for moment in moments)
    return [row.pk, row.state, row.technician_id, start, end, row.warmth, row.travel_added_min,
            held, row.why, row.release]  # fmt: skip


def event_before(row: Visit, now: dt.datetime, by: User | None) -> VisitEvent:
    """The line of its history, as far as what stands until now."""
    return VisitEvent(
        visit=row, at=now, by=by, was=row.state,
        was_technician_id=row.technician_id, was_starts_at=row.starts_at,
    )  # fmt: skip


def event_after(event: VisitEvent, row: Visit) -> VisitEvent:
    event.state, event.technician_id, event.starts_at = row.state, row.technician_id, row.starts_at
    event.words = row.why or "The season's plan."
    return event


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


def clear(rows: list[Visit]) -> None:
    """Empty every slot first: two visits may trade places, and a slot is unique."""
    Visit.objects.filter(pk__in=[row.pk for row in rows], starts_at__isnull=False).update(
        state=State.OWED, technician=None, starts_at=None, ends_at=None, version=F("version") + 1
    )


def _place(row: Visit, placing: Placing) -> None:
    becomes = State.PROMISED if row.state == State.PROMISED else State.PENCILLED
    states.check_step(row.state, becomes)
    row.state, row.technician_id = becomes, placing.technician
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
