"""Verbs of a season run: asked, claimed, heard of, ended, applied or discarded.

Every change of state is one conditional UPDATE whose row count decides, so a
run has one worker at a time and is applied once.
"""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, transaction

from kit.web.wake import wake
from scheduling.models import RunState, Season, SeasonRun
from scheduling.models.run import UNDER_WAY
from shop.models import User

PLAN_SEASON = "scheduling.plan_season"  # the task in scheduling.tasks
MOST_ATTEMPTS = 3
# A worker writes a sign of life about every second; this long without one, it is gone.
SILENT_AFTER = dt.timedelta(seconds=45)
# A waiting run whose message was lost is sent again after this long.
RESEND_AFTER = dt.timedelta(seconds=10)


class RunRefused(ValueError):
    """What stands in the way, in words for the office."""


def ask_for_run(
    *, season: Season, by: User | None, seconds: float, now: dt.datetime, seed: int = 1
) -> SeasonRun:
    """Write down that a plan is wanted, and wake a worker once that is committed."""
    try:
        with transaction.atomic():
            run = SeasonRun.objects.create(
                season=season, asked_by=by, asked_at=now, heard_at=now, seconds=seconds, seed=seed
            )
    except IntegrityError as clash:
        if not SeasonRun.objects.filter(season=season).under_way().exists():
            raise
        raise RunRefused(f"{season} is being planned already.") from clash
    transaction.on_commit(lambda: wake(PLAN_SEASON, run.pk))
    return run


def claim_run(*, run_id: int, now: dt.datetime) -> SeasonRun | None:
    """Take a waiting run for this worker; None: another worker has it, or it is over."""
    claimed = SeasonRun.objects.filter(pk=run_id, state=RunState.WAITING).update(
        state=RunState.RUNNING, heard_at=now
    )
    return SeasonRun.objects.get(pk=run_id) if claimed else None


def report_progress(
    *, run: SeasonRun, now: dt.datetime, progress: dict, best: dict | None = None
) -> bool:
    """Write a sign of life; False: stop, the run was cancelled or taken away."""
    fields = {"heard_at": now, "progress": progress} | ({"best": best} if best else {})
    alive = SeasonRun.objects.filter(
        pk=run.pk, state=RunState.RUNNING, attempt=run.attempt, cancel_asked=False
    )
    return bool(alive.update(**fields))


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


def fail_run(*, run: SeasonRun, now: dt.datetime, trouble: str) -> None:
    """Say why no plan came of it."""
    SeasonRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=RunState.FAILED, ended_at=now, trouble=trouble
    )


def cancel_run(*, run: SeasonRun, now: dt.datetime) -> None:
    """Ask the worker to stop; a run that no worker has yet is over at once."""
    rows = SeasonRun.objects.filter(pk=run.pk)
    if not rows.filter(state=RunState.WAITING).update(state=RunState.CANCELLED, ended_at=now):
        rows.filter(state=RunState.RUNNING).update(cancel_asked=True)


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
    waiting = list(SeasonRun.objects.waiting_since(now - RESEND_AFTER).values_list("pk", flat=True))
    SeasonRun.objects.filter(pk__in=waiting).update(heard_at=now)
    return waiting
