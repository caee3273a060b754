"""Carrying out a season run: snapshot, search with live progress, proposal.

The worker writes a sign of life each second and the best plan every few seconds; when it is
killed, the next worker goes on from that plan. A large branch is cut into areas, each a run of
its own that any worker may take; when all are planned, one search over the whole joins them.
"""

from __future__ import annotations

import datetime as dt
import logging
import time
from collections.abc import Callable

from django.utils import timezone

from scheduling import planner
from scheduling.actions.runs import claim_run, end_run, fail_run, note_bound, split_run
from scheduling.cutting import AREAS_SHARE, joined, scopes
from scheduling.lower_bound import fewest_cold
from scheduling.models import SeasonRun
from scheduling.progress import Watcher, figures_of, thinned
from scheduling.promises import with_movable_promises
from scheduling.proposal import plan_of, propose
from scheduling.reading import SeasonCannotBePlanned
from scheduling.snapshot import Scope, Snapshot, take_snapshot
from scheduling.what_if import promises_broken, variants

log = logging.getLogger(__name__)
Clock = Callable[[], float]


def carry_out(run_id: int, clock: Clock = time.monotonic) -> list[int]:
    """Plan the season of a waiting run and leave it ready to look at.

    Returns the ids of its areas when it was cut instead: their runs are to be carried out, then
    this one again.
    """
    run = claim_run(run_id=run_id, now=timezone.now())
    if run is None:
        return []
    try:
        if run.change:
            _try_change(run, clock)
            return []
        snapshot = take_snapshot(run.season, timezone.now(), Scope.of(run.scope))
        snapshot.problem.check()
        if run.areas > 1 and not run.parts.exists():
            parts = scopes(snapshot, run.areas)
            if len(parts) > 1:
                seconds = max(run.seconds * AREAS_SHARE, 1.0)
                return split_run(run=run, now=timezone.now(), scopes=parts, seconds=seconds)
        if run.promises_move:
            price = run.season.branch.broken_promise_min
            snapshot = with_movable_promises(snapshot, _today(run), price)
        _search(run, snapshot, clock)
    except (SeasonCannotBePlanned, planner.ProblemRefused) as refusal:
        fail_run(run=run, now=timezone.now(), trouble=str(refusal))
    except Exception:
        log.exception("season run %s broke", run.pk)
        fail_run(run=run, now=timezone.now(), trouble="Planning broke down. Nothing was changed.")
        raise
    return []


def _today(run: SeasonRun) -> dt.date:
    return timezone.localdate(timezone=run.season.branch.zone)


def _search(run: SeasonRun, snapshot: Snapshot, clock: Clock) -> None:
    """One search; the bound is worked out when the plan can be looked at already."""
    start, before_s, seconds = plan_of(snapshot, run.best), 0.0, run.seconds
    if run.areas > 1 and run.parts.exists():
        before_s = run.seconds * AREAS_SHARE
        seconds = max(run.seconds - before_s, 1.0)
        start = start if run.best else joined(run, snapshot)
    standing = plan_of(snapshot, {}, least_share=0.0)
    fixed = {"standing": figures_of(snapshot.problem, standing)} if standing else {}
    watcher = Watcher(run, snapshot, clock, fixed, before_s)
    found = _planned(run, snapshot.problem, start, seconds, watcher)
    figures = watcher.fixed | figures_of(snapshot.problem, found)
    figures |= {"curve": _to_the_end(watcher, figures), "seconds": watcher.seconds}
    ready = end_run(
        run=run,
        now=timezone.now(),
        progress=figures,
        best=propose(snapshot, found).to_json(),
        versions=snapshot.versions,
    )
    if ready and run.whole_id is None:
        bound = fewest_cold(snapshot.problem, found)
        figures["fewest_cold"] = None if bound is None else round(bound, 1)
        note_bound(run=run, progress=figures)


def _planned(
    run: SeasonRun,
    problem: planner.Problem,
    start: planner.Plan | None,
    seconds: float,
    watcher: Watcher,
) -> planner.Plan:
    stop = planner.AnyOf(planner.MaxSeconds(seconds), watcher.stopped)
    return planner.plan(problem, stop, run.seed, start=start, watch=watcher.watch)


def _to_the_end(watcher: Watcher, figures: dict) -> list[list[float]]:
    last = [watcher.seconds, figures["score"], figures["placed"]]
    return thinned([*watcher.curve, last])


def _try_change(run: SeasonRun, clock: Clock) -> None:
    """Plan the season as it is and with the change, each for as long, from the same start."""
    tried, made = variants(run.season, run.change, timezone.now()), []
    done: list[dict] = []
    for number, variant in enumerate(tried):
        variant.snapshot.problem.check()
        fixed = {"doing": variant.label, "variants": done}
        watcher = Watcher(run, variant.snapshot, clock, fixed, run.seconds * number)
        watcher.curve = []
        problem = variant.snapshot.problem
        start = plan_of(variant.snapshot, {})
        found = _planned(run, problem, start, run.seconds, watcher)
        broken = promises_broken(tried[0].snapshot.problem, found)
        figures = figures_of(problem, found) | {"label": variant.label, "promises_broken": broken}
        done = [*done, figures | {"visits": len(problem.visits)}]
        made.append(propose(variant.snapshot, found).to_json())
        if not watcher.alive:
            break
    end_run(
        run=run,
        now=timezone.now(),
        progress={"variants": done, "visits": done[0]["visits"]},
        best={"variants": made},
        versions=tried[0].snapshot.versions,
    )
