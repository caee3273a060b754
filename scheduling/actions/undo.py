"""The verb that takes an applied plan out of the season again, as long as nobody was told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction

from kit import words
from letters.models import Letter
from scheduling import states
from scheduling.actions.apply import SLOT_FIELDS, clear, event_after, event_before
from scheduling.actions.runs import RunRefused
from scheduling.announcements import about
from scheduling.models import RunState, SeasonRun, Visit, VisitEvent
from shop.models import User


@transaction.atomic
def undo_run(*, run: SeasonRun, now: dt.datetime, by: User | None = None) -> int:
    """Put every visit back where it stood before the plan, all or none; returns how many.

    Refuses, in words, when a customer was told of a time since, or a visit changed otherwise.
    """
    taken = SeasonRun.objects.filter(pk=run.pk, state=RunState.APPLIED).update(
        state=RunState.UNDONE, ended_at=now
    )
    if not taken:
        raise RunRefused("This plan is not in the season, so there is nothing to undo.")
    run = SeasonRun.objects.select_related("season").get(pk=run.pk)
    kept = {pk: row for pk, *row in run.before}
    rows = list(
        Visit.objects.filter(pk__in=kept).with_home().select_for_update(of=("self",)).order_by("pk")
    )
    trouble = why_not(rows, kept, run)
    if trouble:
        raise RunRefused(trouble)
    events = [event_before(row, now, by) for row in rows]
    clear(rows)
    for row in rows:
        _restore(row, kept[row.pk])
    _refuse_clash(rows)
    Visit.objects.bulk_update(rows, SLOT_FIELDS, batch_size=200)
    for event, row in zip(events, rows, strict=True):
        event_after(event, row).words = "The season's plan was undone."
    VisitEvent.objects.bulk_create(events, batch_size=500)
    return len(rows)


def why_not(rows: list[Visit], kept: dict[int, list], run: SeasonRun) -> str:
    """What stands in the way of undoing; "" when nothing does."""
    applied = SeasonRun.objects.filter(season=run.season, state=RunState.APPLIED)
    if applied.filter(applied_at__gt=run.applied_at).exists():
        return "A newer plan is in the season; undo that one first."
    told = [row for row in rows if row.state in states.AGREED or row.state == states.DONE]
    told += _written_to(row for row in rows if row not in told and row.version != kept[row.pk][-1])
    if told:
        first = told[0].owed_visit.home.customer
        others = f" and {words.counted(len(told) - 1, 'other')}" if len(told) > 1 else ""
        return f"{first}{others} were told of a time since, so this plan can no longer be undone."
    changed = sum(row.version != kept[row.pk][-1] for row in rows) + len(kept) - len(rows)
    if changed:
        visits = "1 visit has" if changed == 1 else f"{changed} visits have"
        return f"{visits} changed since this plan was applied, so it can no longer be undone."
    return ""


def _written_to(rows: Iterable[Visit]) -> list[Visit]:
    """Whose customer got a letter about the visit, if only one that was taken back."""
    by_name = {about(row): row for row in rows}
    named = Letter.objects.filter(about__in=by_name).values_list("about", flat=True).distinct()
    return [by_name[name] for name in named]


def _refuse_clash(rows: list[Visit]) -> None:
    """Somebody may have been put where one of the visits stood."""
    slots = [(row.technician_id, *row.slot) for row in rows if row.starts_at]
    if not slots:
        return
    others = Visit.objects.filter(
        technician__in={technician for technician, _, _ in slots},
        state__in=states.STANDING,
        starts_at__lt=max(end for _, _, end in slots),
        ends_at__gt=min(start for _, start, _ in slots),
    ).exclude(pk__in=[row.pk for row in rows])
    for other in others:
        start, end = other.slot
        if any(t == other.technician_id and a < end and start < b for t, a, b in slots):
            raise RunRefused(
                f"{other.technician} has another visit now at a time that undoing would need."
            )


def _restore(row: Visit, kept: list) -> None:
    state, technician, start, end, warmth, travel, held, why, release, version = kept
    moment = dt.datetime.fromisoformat
    row.state, row.technician_id = state, technician
    row.starts_at, row.ends_at = start and moment(start), end and moment(end)
    row.warmth, row.travel_added_min = warmth, travel
    row.held_since, row.why, row.release = held and moment(held), why, release
    row.version = version + 2
