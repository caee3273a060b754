"""What a worker writes while it searches: a sign of life, figures for the page, checkpoints."""

from __future__ import annotations

from collections.abc import Callable

from django.utils import timezone

from scheduling import planner
from scheduling.actions.runs import report_progress
from scheduling.models import SeasonRun
from scheduling.proposal import propose
from scheduling.snapshot import Snapshot

REPORT_EVERY_S = 0.7
CHECKPOINT_EVERY_S = 4.0
LONGEST_CURVE = 300


class Watcher:
    """Writes progress to the run's row, and notices there that it should stop.

    `fixed`: figures that stay; `before_s`: seconds that earlier searches of this run took.
    """

    def __init__(
        self,
        run: SeasonRun,
        snapshot: Snapshot,
        clock: Callable[[], float],
        fixed: dict | None = None,
        before_s: float = 0.0,
    ) -> None:
        self.run, self.snapshot, self.clock = run, snapshot, clock
        self.fixed = {"visits": len(snapshot.problem.visits)} | (fixed or {})
        self.before_s = before_s
        self.reported = self.checkpointed = clock()
        self.alive, self.seconds = True, before_s
        self.curve: list[list[float]] = list(run.progress.get("curve", ()))

    def stopped(self, _: planner.Progress) -> bool:
        return not self.alive

    def watch(self, progress: planner.Progress) -> None:
        now = self.clock()
        self.seconds = round(self.before_s + progress.seconds, 1)
        if now - self.reported < REPORT_EVERY_S:
            return
        self.reported, best = now, None
        self.curve.append([self.seconds, round(progress.score), progress.placed])
        if now - self.checkpointed >= CHECKPOINT_EVERY_S:
            self.checkpointed = now
            best = propose(self.snapshot, progress.best()).to_json()
        figures = self.fixed | {
            "seconds": self.seconds,
            "score": round(progress.score),
            "placed": progress.placed,
            "cold_trips": round(progress.cold_trips, 1),
            "travel_min": round(progress.travel_min),
            "iterations": progress.iterations,
            "curve": thinned(self.curve),
        }
        self.alive = report_progress(run=self.run, now=timezone.now(), progress=figures, best=best)


def thinned(curve: list[list[float]]) -> list[list[float]]:
    """Few enough points to draw, the last one always among them."""
    step = -(-len(curve) // LONGEST_CURVE)
    return curve[::-1][:: max(step, 1)][::-1]


def figures_of(problem: planner.Problem, plan: planner.Plan) -> dict:
    """A plan in figures, with the terms of its score."""
    score = planner.score(problem, plan)
    return {
        "score": round(score.total_min),
        "placed": score.placed,
        "cold_trips": round(score.cold_trips, 1),
        "travel_min": round(score.travel_min),
        "terms": [
            [term.name, round(term.amount, 1), term.unit, term.weight, round(term.minutes)]
            for term in score.terms
        ],
    }
