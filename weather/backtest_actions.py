"""Asking for a backtest; what its worker says of it is in kit.web.asked."""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict

from django.db import IntegrityError, transaction

from kit.web.wake import wake
from shop.models import Branch, User
from weather.backtest import Policy, Readings, Setup
from weather.backtest_run import BacktestRun

PLAY_BACKTEST = "weather.play_backtest"  # the task in weather.tasks


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
