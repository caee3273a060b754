"""How far can a plan be from the best one? 500 visits against two bounds that no plan can beat.

    bin/bench bound [--quick] [--seconds S] [--bound-seconds S] [--seeds 1,2,3] [--cpu]

The season of 500 visits of `bin/bench sizes` with every drive rounded up to whole 5 minutes, for
which the bound on the whole cost loses nothing by its grid of time (scheduling/planner/
route_bound.py). `gap_percent`: how much dearer than that bound the planner's plan is after S
seconds; part of it is the bound's own looseness. `fewest_cold`: the bound on cold trips alone.
The plan is searched on one core, the bound on all. `--cpu`: processor seconds on one core, for a
machine on which others work too.
`--quick`: 2 s of planning and 20 s for the bound, which then need not say anything.
"""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import replace
from pathlib import Path
from time import monotonic, process_time

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

from benchmarks.instances import ROADS, SIZES
from benchmarks.peers.clock import CpuSeconds
from benchmarks.report import finish, say
from scheduling.planner import MaxSeconds, Problem, plan, score
from scheduling.planner.bound import fewest_cold_trips
from scheduling.planner.route_bound import least_cost
from scheduling.planner.route_grid import STEP_MIN
from scheduling.planner.search import compile_once


def in_steps(seed: int) -> Problem:
    problem = SIZES["500"].seasons(seed)[0].problem
    roads = replace(ROADS, step_min=STEP_MIN)
    return replace(problem, travel_min=replace(problem.travel_min, roads=roads))


def measure(seed: int, seconds: float, bound_s: float, cpu: bool) -> dict[str, object]:
    problem = in_steps(seed)
    found = plan(problem, CpuSeconds(seconds) if cpu else MaxSeconds(seconds), seed)
    cost = score(problem, found)
    clock = process_time if cpu else monotonic
    bound = least_cost(
        problem, found, bound_s, clock, threads=1 if cpu else len(os.sched_getaffinity(0))
    )
    cold = fewest_cold_trips(problem, cost.placed)
    figures: dict[str, object] = {
        "seed": seed,
        "plan_s": seconds,
        "score": round(cost.total_min, 1),
        "placed": cost.placed,
        "bound": round(bound.least_min, 1),
        "program": round(bound.program_min, 1),
        "gap_percent": round(100 * (cost.total_min / bound.least_min - 1), 2),
        "routes": bound.routes,
        "bound_s": round(bound.seconds, 1),
        "cold": round(cost.cold_trips, 2),
        "fewest_cold": None if cold is None else round(cold, 2),
    }
    say(str(figures))
    return figures


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--bound-seconds", type=float, default=60.0)
    options.add_argument("--seeds", default="1")
    options.add_argument("--cpu", action="store_true")
    given = options.parse_args()
    seconds, bound_s = (2.0, 20.0) if given.quick else (given.seconds, given.bound_seconds)
    load = os.getloadavg()
    compile_once()
    seeds = [int(seed) for seed in given.seeds.split(",")]
    found = [measure(seed, seconds, bound_s, given.cpu) for seed in seeds]
    finish({"bounds": found, "load_before": load, "load_after": os.getloadavg()})


if __name__ == "__main__":
    main()
