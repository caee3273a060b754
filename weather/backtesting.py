"""Carrying out a backtest: springs, policies, what each setting costs; with signs of life."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from django.utils import timezone

from kit.web import asked
from weather.backtest import Figures, Policy, Readings, Setup
from weather.backtest.frontier import WITH_LIST, frontier, recommended, variations
from weather.backtest.report import Report, as_json
from weather.backtest.running import Stage, stage_of
from weather.backtest.slot_climate import SlotClimate, from_climate, learnt_from_the_file
from weather.backtest.springs import cut_springs
from weather.backtest.strategies import STRATEGIES
from weather.backtest_run import BacktestRun

log = logging.getLogger(__name__)

REPORT_EVERY_S = 0.5


class _Stopped(Exception):
    """Nobody waits for this run any longer."""


def play_backtest(run_id: int, clock: Callable[[], float] = time.monotonic) -> None:
    """Play a waiting run and keep what it finds."""
    run = asked.claim(BacktestRun, run_id=run_id, now=timezone.now())
    if run is None:
        return
    try:
        found = as_json(_report(run, clock))
        asked.end(run=run, found=found, now=timezone.now())
    except _Stopped:
        return
    except ValueError as refusal:
        asked.fail(run=run, trouble=str(refusal), now=timezone.now())
    except Exception:
        log.exception("backtest %s broke", run.pk)
        asked.fail(run=run, trouble="The backtest broke down.", now=timezone.now())
        raise


def climate_of(run: BacktestRun) -> SlotClimate:
    """The branch's climate, or what the file's own hours teach."""
    if not run.branch_climate:
        return learnt_from_the_file
    return from_climate(run.branch.climate.climate(), run.policy["test_temperature_f"])


def _report(run: BacktestRun, clock: Callable[[], float]) -> Report:
    readings = Readings.from_dict(run.hours)
    policy, setup = Policy(**run.policy), Setup(**{**run.setup, "first": tuple(run.setup["first"])})
    place = run.file_name.split(".")[0]
    springs, skipped = cut_springs(readings, climate_of(run), place)
    stage = stage_of(springs, policy, setup)
    heard = _Heard(run, len(STRATEGIES) + 1 + len(list(variations(policy))), clock)
    return Report(
        springs=springs,
        skipped=[(place, one) for one in skipped],
        notes=[*readings.notes, *(gap.words for gap in readings.gaps)],
        policy=policy,
        setup=setup,
        policies={name: heard.played(stage, name, policy) for name in STRATEGIES},
        recommended=heard.played(stage, WITH_LIST, recommended(policy)),
        frontier=frontier(stage, policy, heard.one_more),
    )


class _Heard:
    """Counts what was played, and writes a sign of life about twice a second."""

    def __init__(self, run: BacktestRun, total: int, clock: Callable[[], float]) -> None:
        self.run, self.clock = run, clock
        self.done, self.heard = 0, clock()
        run.total = total

    def played(self, stage: Stage, name: str, policy: Policy) -> Figures:
        figures = stage.play(STRATEGIES[name], policy)
        self.one_more()
        return figures

    def one_more(self) -> None:
        self.done += 1
        if self.clock() - self.heard < REPORT_EVERY_S:
            return
        self.heard = self.clock()
        if not asked.report(run=self.run, done=self.done, total=self.run.total, now=timezone.now()):
            raise _Stopped
