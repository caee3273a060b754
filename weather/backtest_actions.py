"""Verbs of a backtest: asked, claimed, heard of, ended, stopped.

Every change of state is one conditional UPDATE whose row count decides, so a run has one worker.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict

from django.db import IntegrityError, models, transaction

from kit.web.wake import wake
from shop.models import Branch, User
from weather.backtest import Policy, Readings, Setup
from weather.backtest_run import UNDER_WAY, BacktestRun, BacktestState

PLAY_BACKTEST = "weather.play_backtest"  # the task in weather.tasks
MOST_ATTEMPTS = 3
SILENT_AFTER = dt.timedelta(seconds=60)
RESEND_AFTER = dt.timedelta(seconds=10)


class BacktestRefused(ValueError):
    """What stands in the way, in words for the office."""


def ask_for_backtest(
    *,
    branch: Branch,
    by: User | None,
    file_name: str,
    readings: Readings,
    policy: Policy,
    setup: Setup,
    branch_climate: bool,
    now: dt.datetime,
) -> BacktestRun:
    """Write down what is wanted, and wake a worker once that is committed."""
    try:
        with transaction.atomic():
            run = BacktestRun.objects.create(
                branch=branch,
                asked_by=by,
                asked_at=now,
                heard_at=now,
                file_name=file_name[:200],
                hours=readings.to_dict(),
                policy=asdict(policy),
                setup=asdict(setup),
                branch_climate=branch_climate,
            )
    except IntegrityError as clash:
        if not BacktestRun.objects.filter(branch=branch).under_way().exists():
            raise
        raise BacktestRefused("Another backtest of this branch is running; wait for it.") from clash
    transaction.on_commit(lambda: wake(PLAY_BACKTEST, run.pk))
    return run


def claim_backtest(*, run_id: int, now: dt.datetime) -> BacktestRun | None:
    """Take a waiting run for this worker; None: another worker has it, or it is over."""
    claimed = BacktestRun.objects.filter(pk=run_id, state=BacktestState.WAITING).update(
        state=BacktestState.RUNNING, heard_at=now, done=0
    )
    return BacktestRun.objects.get(pk=run_id) if claimed else None


def report_backtest(*, run: BacktestRun, done: int, total: int, now: dt.datetime) -> bool:
    """Write a sign of life; False: give up, the run was stopped or taken away."""
    return bool(_mine(run).update(heard_at=now, done=done, total=total))


def end_backtest(*, run: BacktestRun, found: dict, now: dt.datetime) -> bool:
    """Keep what was found; False: it was stopped meanwhile."""
    return bool(
        _mine(run).update(
            state=BacktestState.READY, found=found, ended_at=now, hours={}, done=run.total
        )
    )


def fail_backtest(*, run: BacktestRun, trouble: str, now: dt.datetime) -> None:
    """Say why nothing came of it."""
    BacktestRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=BacktestState.FAILED, trouble=trouble, ended_at=now, hours={}
    )


def stop_backtest(*, run: BacktestRun, now: dt.datetime) -> None:
    """The office wants it no longer; its worker finds out at the next sign of life."""
    BacktestRun.objects.filter(pk=run.pk, state__in=UNDER_WAY).update(
        state=BacktestState.CANCELLED, ended_at=now, hours={}
    )


@transaction.atomic
def rescue_backtests(*, now: dt.datetime) -> list[int]:
    """Find runs that a lost message or a killed worker left; returns ids to wake workers for."""
    for run in BacktestRun.objects.silent_since(now - SILENT_AFTER):
        if run.attempt + 1 >= MOST_ATTEMPTS:
            fail_backtest(run=run, trouble="The worker was lost three times.", now=now)
        else:
            _mine(run).filter(heard_at=run.heard_at).update(
                state=BacktestState.WAITING, attempt=run.attempt + 1
            )
    waiting = list(
        BacktestRun.objects.waiting_since(now - RESEND_AFTER).values_list("pk", flat=True)
    )
    BacktestRun.objects.filter(pk__in=waiting).update(heard_at=now)
    return waiting


def _mine(run: BacktestRun) -> models.QuerySet[BacktestRun]:
    return BacktestRun.objects.filter(pk=run.pk, state=BacktestState.RUNNING, attempt=run.attempt)
