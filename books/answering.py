"""Carrying out a capacity run: snapshot, questions to the planner, with signs of life."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from dataclasses import asdict

from django.utils import timezone

from books.capacity.questions import Answers, answer, plans_needed
from books.capacity_reading import capacity_of
from books.models import CapacityRun
from kit.web import asked
from scheduling import planner, states
from scheduling.models import Visit
from scheduling.reading import SeasonCannotBePlanned
from scheduling.snapshot import take_snapshot

log = logging.getLogger(__name__)

REPORT_EVERY_S = 0.7


class _Stopped(Exception):
    """Nobody waits for this run any longer."""


def answer_capacity(run_id: int, clock: Callable[[], float] = time.monotonic) -> None:
    """Answer a waiting run and keep what was found."""
    run = asked.claim(CapacityRun, run_id=run_id, now=timezone.now())
    if run is None:
        return
    try:
        asked.end(run=run, found=asdict(_answers(run, clock)), now=timezone.now())
    except _Stopped:
        return
    except (SeasonCannotBePlanned, planner.ProblemRefused) as refusal:
        asked.fail(run=run, trouble=str(refusal), now=timezone.now())
    except Exception:
        log.exception("capacity run %s broke", run.pk)
        asked.fail(run=run, trouble="Planning broke down. Nothing was changed.", now=timezone.now())
        raise


def _answers(run: CapacityRun, clock: Callable[[], float]) -> Answers:
    now = timezone.now()
    snapshot = take_snapshot(run.season, now)
    snapshot.problem.check()
    quick = capacity_of(run.season, now)
    promised = Visit.objects.for_season(run.season).filter(state__in=(*states.AGREED, states.DONE))
    ask_start = not promised.exists()
    searcher = _Searcher(run, plans_needed(ask_start), clock)
    guess = quick.fit.more(0.5) if quick else 0
    return answer(snapshot.problem, searcher.search, guess=guess, ask_start=ask_start)


class _Searcher:
    """Makes one plan after another, and writes a sign of life while each is searched."""

    def __init__(self, run: CapacityRun, total: int, clock: Callable[[], float]) -> None:
        self.run, self.total, self.clock = run, total, clock
        self.done, self.heard, self.alive = 0, clock(), True
        self._report()

    def search(self, problem: planner.Problem) -> planner.Plan:
        stop = planner.AnyOf(planner.MaxSeconds(self.run.seconds), self._stopped)
        found = planner.plan(problem, stop, 1, watch=self._watch)
        self.done += 1
        self._report()
        return found

    def _watch(self, _: planner.Progress) -> None:
        if self.clock() - self.heard >= REPORT_EVERY_S:
            self.heard = self.clock()
            self.alive = self._write()

    def _stopped(self, _: planner.Progress) -> bool:
        return not self.alive

    def _report(self) -> None:
        if not self.alive or not self._write():
            raise _Stopped

    def _write(self) -> bool:
        return asked.report(run=self.run, done=self.done, total=self.total, now=timezone.now())
