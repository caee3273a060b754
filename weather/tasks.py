"""Tasks carry an id and no thought."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from kit.web.asked import rescue
from weather import backtesting, watching
from weather.backtest_actions import PLAY_BACKTEST
from weather.backtest_run import BacktestRun


@shared_task(name=PLAY_BACKTEST)
def play_backtest(run_id: int) -> None:
    """Play one backtest; does nothing when another worker has it."""
    backtesting.play_backtest(run_id)


@shared_task(name="weather.sweep_backtests")
def sweep_backtests() -> None:
    """Send again what a lost message or a killed worker left."""
    for run_id in rescue(BacktestRun, now=timezone.now()):
        play_backtest.delay(run_id)


@shared_task(name="weather.watch")
def watch() -> None:
    """Fetch what is due, and learn from what came. Without a forecast service it does nothing."""
    watching.watch_all(timezone.now())
