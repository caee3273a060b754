"""Verbs of a season run: asked, claimed, heard of, ended, applied or discarded.

Every change of state is one conditional UPDATE whose row count decides, so a
run has one worker at a time and is applied once.
"""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet

from kit.web.wake import wake
from scheduling.models import RunKind, RunState, Season, SeasonRun
from scheduling.models.run import UNDER_WAY
from shop.models import User

PLAN_SEASON = "scheduling.plan_season"  # the task in scheduling.tasks
MOST_ATTEMPTS = 3
# A worker writes a sign of life about every second; this long without one, it is gone.
SILENT_AFTER = dt.timedelta(seconds=settings.RUN_SILENT_AFTER_S)
# A waiting run whose message was lost is sent again after this long.
RESEND_AFTER = dt.timedelta(seconds=10)


class RunRefused(ValueError):
    """What stands in the way, in words for the office."""


def ask_for_run(
    *,
    season: Season,
    by: User | None,
    seconds: float,
    now: dt.datetime,
    seed: int = 1,
    change: dict | None = None,
    areas: int = 1,
    promises_move: bool = False,
    wakes: bool = True,
) -> SeasonRun:
    """Write down that a plan is wanted, and wake a worker once that is committed.

    `change`: see scheduling.what_if; nothing of it is put into the season. `areas`: into how many
    a large branch is split. `promises_move`: see scheduling.promises. `wakes` False: whoever asks
    carries it out.
    """
    kind = RunKind.WHAT_IF if change else RunKind.PLAN
    try:
        with transaction.atomic():
            run = SeasonRun.objects.create(
                season=season, asked_by=by, asked_at=now, heard_at=now, seconds=seconds, seed=seed,
                kind=kind, change=change or {}, areas=areas, promises_move=promises_move,
            )  # fmt: skip
    except IntegrityError as clash:
        if not SeasonRun.objects.filter(season=season, kind=kind).under_way().exists():
            raise
        doing = "being planned" if kind == RunKind.PLAN else "being tried with a change"
        raise RunRefused(f"{season} is {doing} already.") from clash
    if wakes:
        transaction.on_commit(lambda: wake(PLAN_SEASON, run.pk))
    return run


def claim_run(*, run_id: int, now: dt.datetime) -> SeasonRun | None:
    """Take a waiting run for this worker; None: another worker has it, or it is over.

    A run in parts waits until none of them is under way any more.
    """
    waiting = SeasonRun.objects.filter(pk=run_id, state__in=(RunState.WAITING, RunState.PARTS))
    claimed = waiting.exclude(pk__in=_with_parts_under_way()).update(
        state=RunState.RUNNING, heard_at=now
    )
    return SeasonRun.objects.get(pk=run_id) if claimed else None


def _with_parts_under_way() -> QuerySet:
    parts = SeasonRun.objects.under_way().exclude(whole=None)
    return parts.order_by().values("whole")


@transaction.atomic
def split_run(*, run: SeasonRun, now: dt.datetime, scopes: list[dict], seconds: float) -> list[int]:
    """Make a run of each area; the whole waits for them. Returns their ids."""
    mine = SeasonRun.objects.filter(pk=run.pk, state=RunState.RUNNING, attempt=run.attempt)
    if not mine.filter(cancel_asked=False).update(state=RunState.PARTS, heard_at=now):
        return []
    parts = [
        SeasonRun(
            season=run.season, asked_by_id=run.asked_by_id, asked_at=run.asked_at, heard_at=now,
            seconds=seconds, seed=run.seed + number, kind=run.kind, whole=run, scope=scope,
            promises_move=run.promises_move,
        )
        for number, scope in enumerate(scopes)
    ]  # fmt: skip
    return [part.pk for part in SeasonRun.objects.bulk_create(parts)]


def report_progress(
    *, run: SeasonRun, now: dt.datetime, progress: dict, best: dict | None = None
) -> bool:
    """Write a sign of life; False: stop, it was cancelled, is good enough, or was taken away."""
    fields = {"heard_at": now, "progress": progress} | ({"best": best} if best else {})
    alive = SeasonRun.objects.filter(pk=run.pk, state=RunState.RUNNING, attempt=run.attempt)
    going_on = alive.filter(cancel_asked=False, finish_asked=False)
    return bool(going_on.update(**fields))


def end_run(
    *, run: SeasonRun, now: dt.datetime, progress: dict, best: dict, versions: dict
) -> bool:
    """The search is over: ready to look at, or cancelled if that was asked meanwhile."""
    mine = SeasonRun.objects.filter(pk=run.pk, state=RunState.RUNNING, attempt=run.attempt)
    if mine.filter(cancel_asked=True).update(state=RunState.CANCELLED, ended_at=now):
        return False
    return bool(
        mine.update(
            state=RunState.READY, ended_at=now, heard_at=now,
            progress=progress, best=best, versions=versions,
        )
    )  # fmt: skip


def note_bound(*, run: SeasonRun, progress: dict) -> None:
    """Add to a finished plan what no plan can do better."""
    SeasonRun.objects.filter(pk=run.pk, attempt=run.attempt).exclude(state__in=UNDER_WAY).update(
        progress=progress
    )


def fail_run(*, run: SeasonRun, now: dt.datetime, trouble: str) -> None:
    """Say why no plan came of it."""
    SeasonRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=RunState.FAILED, ended_at=now, trouble=trouble
    )


@transaction.atomic
def cancel_run(*, run: SeasonRun, now: dt.datetime) -> None:
    """Ask the workers to stop; a run that no worker has yet is over at once, like its parts."""
    rows = SeasonRun.objects.filter(Q(pk=run.pk) | Q(whole=run))
    idle = rows.filter(state__in=(RunState.WAITING, RunState.PARTS))
    idle.update(state=RunState.CANCELLED, ended_at=now)
    rows.filter(state=RunState.RUNNING).update(cancel_asked=True)


def finish_run(*, run: SeasonRun) -> None:
    """Good enough: the search stops and its best plan is kept to look at."""
    rows = SeasonRun.objects.filter(Q(pk=run.pk) | Q(whole=run))
    rows.under_way().update(finish_asked=True)


def discard_run(*, run: SeasonRun) -> None:
    """Leave the season as it stands."""
    SeasonRun.objects.filter(pk=run.pk, state=RunState.READY).update(state=RunState.DISCARDED)


@transaction.atomic
def rescue_runs(*, now: dt.datetime) -> list[int]:
    """Find runs that a lost message or a killed worker left; returns ids to wake workers for."""
    silent = SeasonRun.objects.silent_since(now - SILENT_AFTER)
    silent.filter(cancel_asked=True).update(state=RunState.CANCELLED, ended_at=now)
    for run in silent:
        if run.attempt + 1 >= MOST_ATTEMPTS:
            words = f"The worker was lost {MOST_ATTEMPTS} times. Nothing was changed; plan again."
            fail_run(run=run, now=now, trouble=words)
        else:
            SeasonRun.objects.filter(
                pk=run.pk, state=RunState.RUNNING, heard_at=run.heard_at
            ).update(state=RunState.WAITING, attempt=run.attempt + 1)
    left = SeasonRun.objects.left_since(now - RESEND_AFTER).exclude(pk__in=_with_parts_under_way())
    waiting = list(left.values_list("pk", flat=True))
    SeasonRun.objects.filter(pk__in=waiting).update(heard_at=now)
    return waiting
