"""Carrying out a season run: snapshot, search with live progress, proposal.

The worker writes a sign of life each second and the best plan every few
seconds; when it is killed, the next worker goes on from that plan.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from django.utils import timezone

from scheduling import planner
from scheduling.actions.runs import claim_run, end_run, fail_run, report_progress
from scheduling.models import SeasonRun
from scheduling.proposal import plan_of, propose
from scheduling.reading import SeasonCannotBePlanned
from scheduling.snapshot import Snapshot, take_snapshot

log = logging.getLogger(__name__)

REPORT_EVERY_S = 0.7
CHECKPOINT_EVERY_S = 4.0


def carry_out(run_id: int, clock: Callable[[], float] = time.monotonic) -> None:
    """Plan the season of a waiting run and leave it ready to look at."""
    run = claim_run(run_id=run_id, now=timezone.now())
    if run is None:
        return
    try:
        snapshot = take_snapshot(run.season, timezone.now())
        snapshot.problem.check()
        _search(run, snapshot, clock)
    except (SeasonCannotBePlanned, planner.ProblemRefused) as refusal:
        fail_run(run=run, now=timezone.now(), trouble=str(refusal))
    except Exception:
        log.exception("season run %s broke", run.pk)
        fail_run(run=run, now=timezone.now(), trouble="Planning broke down. Nothing was changed.")
        raise


def _search(run: SeasonRun, snapshot: Snapshot, clock: Callable[[], float]) -> None:
    watcher = _Watcher(run, snapshot, clock)
    stop = planner.AnyOf(planner.MaxSeconds(run.seconds), watcher.stopped)
    found = planner.plan(
        snapshot.problem,
        stop,
        run.seed,
        start=plan_of(snapshot, run.best),
        watch=watcher.watch,
    )
    watcher.end(found)


class _Watcher:
    """Writes progress to the run's row, and notices there that it should stop."""

    def __init__(self, run: SeasonRun, snapshot: Snapshot, clock: Callable[[], float]) -> None:
        self.run, self.snapshot, self.clock = run, snapshot, clock
        self.reported = self.checkpointed = clock()
        self.alive = True
        self.curve: list[list[float]] = list(run.progress.get("curve", ()))

    def stopped(self, _: planner.Progress) -> bool:
        return not self.alive

    def watch(self, progress: planner.Progress) -> None:
        now = self.clock()
        if now - self.reported < REPORT_EVERY_S:
            return
        self.reported, best = now, None
        self.curve.append([round(progress.seconds, 1), round(progress.score)])
        if now - self.checkpointed >= CHECKPOINT_EVERY_S:
            self.checkpointed = now
            best = propose(self.snapshot, progress.best()).to_json()
        self.alive = report_progress(
            run=self.run, now=timezone.now(), progress=self._figures(progress), best=best
        )

    def _figures(self, progress: planner.Progress) -> dict:
        return {
            "seconds": round(progress.seconds, 1),
            "score": round(progress.score),
            "placed": progress.placed,
            "cold_trips": round(progress.cold_trips, 1),
            "travel_min": round(progress.travel_min),
            "iterations": progress.iterations,
            "curve": self.curve[-300:],
        }

    def end(self, found: planner.Plan) -> None:
        """Write the finished proposal with the score's terms."""
        score = planner.score(self.snapshot.problem, found)
        figures = {
            **self.run.progress,
            "curve": self.curve[-300:],
            "score": round(score.total_min),
            "placed": score.placed,
            "cold_trips": round(score.cold_trips, 1),
            "travel_min": round(score.travel_min),
            "terms": [
                [term.name, round(term.amount, 1), term.unit, term.weight, round(term.minutes)]
                for term in score.terms
            ],
        }
        end_run(
            run=self.run,
            now=timezone.now(),
            progress=figures,
            best=propose(self.snapshot, found).to_json(),
            versions=self.snapshot.versions,
        )
