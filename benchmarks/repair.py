"""A cold snap over a promised season: which promises break, what it saves, how long it takes.

2,000 promised visits, 8 technicians, 45 working days, three made-up seasons. Each is planned for
`plan_s` seconds, every slot is promised, and then some days turn 12 °F colder (the logistic warmth
of benchmarks/instances.py, shifted). Cold are the promises on those days whose warmth fell under
the hold limit; the repair decides on all of them at once, which is harder than day by day.
`promised`: promises that stood. `cold`: of them, how many turned too cold. `moved`: promises whose
slot changed or that are held. `broken`: on another day, by more than half an hour, or held.
`moved_needlessly`: moved promises that were warm enough and whose old slot would fit the new plan;
must be 0. `cold_trips_before`, `_after`: expected over all promises, held ones making no trip.
Top-level figures are means over the seasons, `per_seed` holds each.
--quick: one season, planned for 5 s.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from dataclasses import replace
from pathlib import Path
from statistics import mean
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

import numpy as np

from benchmarks.instances import SD_F, season
from benchmarks.report import finish, say
from scheduling.planner import (
    KeptSlot,
    Kind,
    MaxSeconds,
    Plan,
    Policy,
    Problem,
    Proposal,
    broken_rules,
    plan,
    repair,
    repaired,
    score,
)
from scheduling.planner.score import warmth_of

VISITS, TECHNICIANS, DAYS, SEEDS = 2000, 8, 45, (1, 2, 3)
SNAP_F, SNAP_DAYS = 12.0, (6, 7, 8)
LEAST_WARMTH, HOLD_LIMIT, NOTICE_DAY = 0.7, 0.6, 2
PLAN_S, QUICK_PLAN_S = 20.0, 5.0


def promised(problem: Problem, seed: int, plan_s: float) -> Problem:
    """The season with every visit that the plan placed promised in its slot."""
    found = plan(replace(problem, least_warmth=LEAST_WARMTH), MaxSeconds(plan_s), seed)
    visits = tuple(
        replace(visit, kept=KeptSlot(slot.workday, slot.start_min), fixed=True)
        for visit, slot in zip(problem.visits, found.slots, strict=True)
        if slot is not None
    )
    return replace(problem, visits=visits, least_warmth=LEAST_WARMTH)


def colder(problem: Problem) -> Problem:
    """The same season with the snap: on a logistic curve a shift of the temperature is a factor
    of the odds."""
    factor = np.exp(-SNAP_F / (SD_F * np.sqrt(3) / np.pi))
    days = list(SNAP_DAYS)
    warmth = problem.warmth.copy()
    odds = warmth[:, days] / (1 - warmth[:, days]) * factor
    warmth[:, days] = odds / (1 + odds)
    return replace(problem, warmth=warmth)


def cold_ones(problem: Problem, standing: Plan) -> list[int]:
    """Promises of the snap's days whose warmth fell under the hold limit."""
    return [
        slot.visit
        for slot in standing.slots
        if slot is not None
        and problem.workdays[slot.workday].day in SNAP_DAYS
        and warmth_of(problem, slot) < HOLD_LIMIT
    ]


def loosened(problem: Problem, moved: set[int]) -> Problem:
    """The season in which what moved may stand anywhere that suits."""
    visits = (
        replace(visit, kept=None, fixed=False) if index in moved else visit
        for index, visit in enumerate(problem.visits)
    )
    return replace(problem, visits=tuple(visits))


def needless(problem: Problem, after: Plan, moved: set[int], cold: list[int]) -> int:
    """Moved promises that were warm enough and could have their old slot in the new plan."""
    count, standing = 0, repaired(problem, [])
    for visit in moved - set(cold):
        slots = list(after.slots)
        slots[visit] = standing.slots[visit]
        loose = loosened(problem, moved - {visit})
        count += not broken_rules(loose, Plan(tuple(slots)))
    return count


def measure(seed: int, plan_s: float) -> dict[str, Any]:
    """One season before the snap, after it, and after the repair."""
    before = promised(season(VISITS, TECHNICIANS, DAYS, seed).problem, seed, plan_s)
    snap, standing = colder(before), repaired(before, [])
    cold = cold_ones(snap, standing)
    begun = time.perf_counter()
    proposals = repair(snap, cold, Policy(HOLD_LIMIT, NOTICE_DAY, DAYS - 1))
    seconds = time.perf_counter() - begun
    after = repaired(snap, proposals)
    moves = [move for each in proposals for move in each.moves if move.before != move.after]
    moved = {move.visit for move in moves}
    broken = broken_rules(loosened(snap, moved), after)
    if broken:
        raise SystemExit("\n".join(broken))
    figures = {
        "seed": seed,
        "promised": len(before.visits),
        "cold": len(cold),
        "seconds": round(seconds, 2),
        "moved": len(moved),
        "broken": sum(each.broken for each in proposals),
        "moved_needlessly": needless(snap, after, moved, cold),
        "cold_trips_before_the_snap": round(score(before, standing).cold_trips, 1),
        "cold_trips_before": round(score(snap, standing).cold_trips, 1),
        "cold_trips_after": round(score(snap, after).cold_trips, 1),
        "travel_min_before": round(score(snap, standing).travel_min),
        "travel_min_after": round(score(snap, after).travel_min),
        **kinds(proposals),
    }
    say(f"season {seed}: {figures}")
    return figures


def kinds(proposals: list[Proposal]) -> dict[str, int]:
    named = [kind for kind in Kind if kind not in (Kind.RELEASE, Kind.FILL)]
    return {str(kind): sum(each.kind is kind for each in proposals) for kind in named}


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    given = options.parse_args()
    plan_s = QUICK_PLAN_S if given.quick else PLAN_S
    per_seed = [measure(seed, plan_s) for seed in (SEEDS[:1] if given.quick else SEEDS)]
    means = {key: round(mean(each[key] for each in per_seed), 2) for key in per_seed[0]}
    del means["seed"]
    finish(means | {"plan_s": plan_s, "quick": given.quick, "per_seed": per_seed})


if __name__ == "__main__":
    main()
