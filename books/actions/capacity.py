"""Verbs of a capacity run: asked, claimed, heard of, ended, stopped.

Every change of state is one conditional UPDATE whose row count decides, so a run has one worker.
"""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, models, transaction

from books.models import CapacityRun, CapacityState
from books.models.run import UNDER_WAY
from kit.web.wake import wake
from scheduling.models import Season
from shop.models import User

ANSWER_CAPACITY = "books.answer_capacity"  # the task in books.tasks
MOST_ATTEMPTS = 3
SILENT_AFTER = dt.timedelta(seconds=90)
RESEND_AFTER = dt.timedelta(seconds=10)


class CapacityRefused(ValueError):
    """What stands in the way, in words for the office."""


def ask_for_capacity(
    *, season: Season, by: User | None, seconds: float, now: dt.datetime
) -> CapacityRun:
    """Write down what is wanted, and wake a worker once that is committed."""
    try:
        with transaction.atomic():
            run = CapacityRun.objects.create(
                season=season, asked_by=by, asked_at=now, heard_at=now, seconds=seconds
            )
    except IntegrityError as clash:
        if not CapacityRun.objects.filter(season=season).under_way().exists():
            raise
        raise CapacityRefused(f"The planner is at this question of {season} already.") from clash
    transaction.on_commit(lambda: wake(ANSWER_CAPACITY, run.pk))
    return run


def claim_capacity(*, run_id: int, now: dt.datetime) -> CapacityRun | None:
    """Take a waiting run for this worker; None: another worker has it, or it is over."""
    claimed = CapacityRun.objects.filter(pk=run_id, state=CapacityState.WAITING).update(
        state=CapacityState.RUNNING, heard_at=now, done=0
    )
    return CapacityRun.objects.get(pk=run_id) if claimed else None


def report_capacity(*, run: CapacityRun, done: int, total: int, now: dt.datetime) -> bool:
    """Write a sign of life; False: give up, the run was stopped or taken away."""
    return bool(_mine(run).update(heard_at=now, done=done, total=total))


def end_capacity(*, run: CapacityRun, found: dict, now: dt.datetime) -> bool:
    """Keep the answers; False: it was stopped meanwhile."""
    return bool(_mine(run).update(state=CapacityState.READY, found=found, ended_at=now))


def fail_capacity(*, run: CapacityRun, trouble: str, now: dt.datetime) -> None:
    """Say why nothing came of it."""
    CapacityRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=CapacityState.FAILED, trouble=trouble, ended_at=now
    )


def stop_capacity(*, run: CapacityRun, now: dt.datetime) -> None:
    """Nobody wants it any longer; its worker finds out at the next sign of life."""
    CapacityRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=CapacityState.CANCELLED, ended_at=now
    )


@transaction.atomic
def rescue_capacity_runs(*, now: dt.datetime) -> list[int]:
    """Find runs that a lost message or a killed worker left; returns ids to wake workers for."""
    for run in CapacityRun.objects.silent_since(now - SILENT_AFTER):
        if run.attempt + 1 >= MOST_ATTEMPTS:
            fail_capacity(run=run, trouble="The worker was lost three times.", now=now)
        else:
            _mine(run).filter(heard_at=run.heard_at).update(
                state=CapacityState.WAITING, attempt=run.attempt + 1
            )
    waiting = list(
        CapacityRun.objects.waiting_since(now - RESEND_AFTER).values_list("pk", flat=True)
    )
    CapacityRun.objects.filter(pk__in=waiting).update(heard_at=now)
    return waiting


def _mine(run: CapacityRun) -> models.QuerySet[CapacityRun]:
    return CapacityRun.objects.filter(pk=run.pk, state=CapacityState.RUNNING, attempt=run.attempt)
