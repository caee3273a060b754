"""The planner at the size of a real shop and beyond, beside ready-made solvers and work by hand.

    bin/bench sizes [--quick] [--instances 500,2000,…] [--peers ours,nearest,…] [--seconds S]
                    [--seeds 1,2,3] [--cpu]

Instances (benchmarks/instances.py, SIZES): 500 visits, 3 technicians, 30 days; 2,000/8/45;
10,000/30/45 in five branches and in one; and the re-planning of 2,000 after a cold snap (`replan`).
Every method gets the same season, the same seconds and the same `score`; a plan that breaks a hard
rule ends the benchmark. Each run is a process of its own: `rss_mb` is its greatest memory,
`above_mb` what it took above the bare process with the planner loaded, `cpu_s` its processor
seconds from the first to the last. `first_plan_s`: seconds until as many visits were placed as in
the end. `seconds`: what the method took; by hand it is what our rendering of it took. Means over
the seeds with the least and the greatest `score`. By hand all hold their cooling checks until 70 %
likely warm while they can; `by_zip_unheld` and `nearest_unheld` begin at once. A peer that cannot
take an instance of that size has `null` and the reason.
`replan`: for each price of a moved promise, how many of the promised visits moved and what part of
the gain of free re-planning was kept, in 5 s. `--quick`: 500 visits, one seed.
`--cpu`: our seconds are processor seconds, for a machine on which others work too (the other
solvers know only the wall clock).
`ours_less_driving`, only when named: our plan with days left free, those of most driving a visit,
until it drives no more in all than `nearest`; what is left shows whether we place more for it.
The solvers of other people (vroom, ortools, pyvrp_joint, cut_and_route) run only when named by
`--peers` (`--peers all`), which also installs them.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from statistics import mean

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

from benchmarks.instances import SIZES, Season, after_cold_snap
from benchmarks.peers.clock import CpuSeconds
from benchmarks.peers.less_driving import with_days_free
from benchmarks.report import finish, say
from scheduling.planner import (
    MaxSeconds,
    Plan,
    Problem,
    Progress,
    Stop,
    broken_rules,
    hand,
    plan,
    score,
)
from scheduling.planner.search import compile_once

BY_HAND: dict[str, Callable[[Season], Plan]] = {
    "by_date": lambda made: hand.by_date(made.problem, made.last_year.tolist()),
    "by_zip": lambda made: hand.by_zip(made.problem, made.zip_area.tolist()),
    "nearest": lambda made: hand.nearest(made.problem),
    "by_zip_unheld": lambda made: hand.by_zip(made.problem, made.zip_area.tolist(), 0.0),
    "nearest_unheld": lambda made: hand.nearest(made.problem, 0.0),
}
SOLVERS = {
    "vroom": ("by_vroom", "solve", 2000),
    "ortools": ("by_ortools", "solve", 500),
    "pyvrp_joint": ("by_pyvrp", "solve", 500),
    "cut_and_route": ("by_pyvrp", "solve_in_weeks", 2000),
}
"""Module, function and the most visits that its tables of all pairs and days leave room for."""
OUR_PEERS = ("ours", *BY_HAND)
NAMED_ONLY = ("ours_less_driving",)
PROCESSES = 2
REPLAN_PRICES_MIN = (0.0, 5.0, 10.0, 20.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 120.0)
REPLAN_S = 5.0
Figures = dict[str, float]
Clock = Callable[[float], Stop]


def run_one(peer: str, size: str, seed: int, seconds: float | None, clock: Clock) -> Figures:
    """One method on one instance; the figures of several branches are added up."""
    chosen = SIZES[size]
    compile_once()
    bare_mb = _rss_mb()
    share = (seconds or chosen.seconds) / chosen.branches * min(chosen.branches, PROCESSES)
    jobs = [(peer, size, seed, branch, share, clock) for branch in range(chosen.branches)]
    began = time.perf_counter()
    if chosen.branches == 1:
        found = [_branch(jobs[0])]
    else:
        with multiprocessing.get_context("fork").Pool(PROCESSES, maxtasksperchild=1) as pool:
            found = pool.map(_branch, jobs, chunksize=1)
    total = {key: round(sum(figures[key] for figures in found), 2) for key in found[0]}
    total["rss_mb"] = max(figures["rss_mb"] for figures in found)
    total["above_mb"] = round(total["rss_mb"] - bare_mb, 1)
    total["first_plan_s"] = max(figures["first_plan_s"] for figures in found)
    total["seconds"] = round(time.perf_counter() - began, 2)
    total["cpu_s"] = round(sum(figures["cpu_s"] for figures in found), 1)
    return total


def _branch(job: tuple[str, str, int, int, float, Clock]) -> Figures:
    peer, size, seed, branch, seconds, clock = job
    made = SIZES[size].seasons(seed)[branch]
    course: list[tuple[float, int]] = []

    def watch(progress: Progress) -> None:
        course.append((progress.seconds, progress.placed))

    began, began_cpu = time.perf_counter(), time.process_time()
    if peer.startswith("ours"):
        found = plan(made.problem, clock(seconds), seed, watch=watch)
        if peer == "ours_less_driving":
            by_nearest = score(made.problem, hand.nearest(made.problem))
            found = with_days_free(made.problem, found, by_nearest.travel_min)
    elif peer in BY_HAND:
        found = BY_HAND[peer](made)
    else:
        found = _by_solver(peer, made.problem, seconds, seed)
    took_s, cpu_s = time.perf_counter() - began, time.process_time() - began_cpu
    figures = figures_of(made.problem, found)
    most = figures["placed"]
    first = min((s for s, placed in course if placed >= most), default=took_s)
    return figures | {
        "first_plan_s": round(first, 2),
        "cpu_s": round(cpu_s, 2),
        "rss_mb": round(_rss_mb(), 1),
    }


def _by_solver(peer: str, problem: Problem, seconds: float, seed: int) -> Plan:
    from benchmarks.peers import plan_of_routes

    module, function, _ = SOLVERS[peer]
    routes = getattr(import_module(f"benchmarks.peers.{module}"), function)
    return plan_of_routes(problem, routes(problem, seconds, seed))


def figures_of(problem: Problem, found: Plan) -> Figures:
    """What a plan comes to. A plan that breaks a rule ends the benchmark."""
    broken = broken_rules(problem, found)
    if broken:
        raise SystemExit("\n".join(broken[:9]))
    cost = score(problem, found)
    return {
        "score": round(cost.total_min, 1),
        "placed": cost.placed,
        "cold": round(cost.cold_trips, 2),
        "travel_min": round(cost.travel_min, 1),
        "late_days": cost.term("late days").amount,
        "days_free": len(problem.workdays) - len(found.by_workday()),
    }


def replan(seed: int, seconds: float, clock: Clock) -> dict[str, object]:
    """The curve of moved promises against gain after a cold snap."""
    problem = SIZES["2000"].seasons(seed)[0].problem
    before = plan(problem, clock(seconds), seed)
    curve = [_replanned(problem, before, price, seed, clock) for price in REPLAN_PRICES_MIN]
    free = curve[0]["gain_min"]
    for point in curve:
        point["share_of_free_gain"] = round(point["gain_min"] / free, 3) if free else 0.0
    return {"seed": seed, "plan_s": seconds, "curve": curve}


def _replanned(
    problem: Problem, before: Plan, price_min: float, seed: int, clock: Clock
) -> Figures:
    """Gain: what the old plan and the new one cost in the new weather, moves not counted."""
    colder = after_cold_snap(problem, before, price_min)
    began = time.perf_counter()
    after = plan(colder, clock(REPLAN_S), seed, start=before)
    took_s = time.perf_counter() - began
    unpriced = after_cold_snap(problem, before, 0.0)
    old, new = figures_of(unpriced, before), figures_of(unpriced, after)
    priced = after_cold_snap(problem, before, 1.0)
    return {
        "move_min": price_min,
        "promised": sum(visit.kept is not None for visit in priced.visits),
        "moved": score(priced, after).term("moved").amount,
        "gain_min": round(old["score"] - new["score"], 1),
        "cold_before": old["cold"],
        "cold": new["cold"],
        "seconds": round(took_s, 2),
    }


def _rss_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measure(
    size: str, peer: str, seeds: list[int], seconds: float | None, cpu: bool
) -> dict[str, object]:
    """The mean over the seeds, each in a process of its own."""
    most = SOLVERS[peer][2] if peer in SOLVERS else None
    if most is not None and SIZES[size].visits // SIZES[size].branches > most:
        return {"score": None, "why": f"its tables of all pairs and days end at {most} visits"}
    each = []
    for seed in seeds:
        command = [sys.executable, __file__, "--one", peer, size, str(seed), str(seconds or 0)]
        command += ["--cpu"] * cpu
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
        if done.returncode:
            return {"score": None, "why": (done.stderr.strip().splitlines() or ["it died"])[-1]}
        each.append(json.loads(done.stdout.splitlines()[-1]))
        say(f"{size}, {peer}, seed {seed}: {each[-1]}")
    figures: dict[str, object] = {key: round(mean(e[key] for e in each), 2) for key in each[0]}
    scores = [e["score"] for e in each]
    return figures | {"score_least": min(scores), "score_most": max(scores), "seeds": len(each)}


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    options.add_argument("--instances", default=",".join([*SIZES, "replan"]))
    options.add_argument("--peers", default=",".join(OUR_PEERS))
    options.add_argument("--seconds", type=float)
    options.add_argument("--seeds", default="1,2,3")
    options.add_argument("--cpu", action="store_true")
    options.add_argument("--one", nargs=4, help=argparse.SUPPRESS)
    given = options.parse_args()
    clock: Clock = CpuSeconds if given.cpu else MaxSeconds
    if given.one:
        peer, size, seed, seconds = given.one
        print(json.dumps(run_one(peer, size, int(seed), float(seconds) or None, clock)))
        return
    names = ["500"] if given.quick else given.instances.split(",")
    peers = [*OUR_PEERS, *SOLVERS] if given.peers == "all" else given.peers.split(",")
    seeds = [1] if given.quick else [int(seed) for seed in given.seeds.split(",")]
    unknown = {*names} - {*SIZES, "replan"} | {*peers} - {*OUR_PEERS, *NAMED_ONLY, *SOLVERS}
    if unknown:
        options.error(f"not known: {', '.join(sorted(unknown))}")
    load = os.getloadavg()
    found = {
        size: {peer: measure(size, peer, seeds, given.seconds, given.cpu) for peer in peers}
        for size in names
        if size != "replan"
    }
    figures: dict[str, object] = {"instances": found}
    if "replan" in names:
        compile_once()
        figures["replan"] = [
            replan(seed, given.seconds or SIZES["2000"].seconds, clock) for seed in seeds
        ]
    finish(figures | {"load_before": load, "load_after": os.getloadavg(), "quick": given.quick})


if __name__ == "__main__":
    main()
