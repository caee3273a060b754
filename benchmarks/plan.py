"""A whole season in ten seconds on one core: is everything placed, how good is it, and what does it
save against three careful shops that plan by hand?

480 visits, 3 technicians, 30 working days, three made-up seasons. Top-level figures are means over
the seasons, `per_seed` holds each. Each season is planned twice: for 10 s, which is what `ours` and
the ratios come from, and for a long time (`long_run_s`: 300 s unless told otherwise) to see what
ten seconds leave on the table. `first_plan_s`: when the short run had placed as many visits as the
long one places in the end; null if it never did. `cold`: expected trips to a system too cold to
test. Ratios are ours by theirs, below 1 is better; by hand fewer visits get a place at all, so
travel and cold trips are also compared per placed visit.
`compile_s`: the first plan of a new process; long only where the search was never compiled before.
--quick: one season and a long run of 20 s. --long SECONDS: another length.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import mean

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

from benchmarks.instances import Season, season
from benchmarks.report import finish, say
from scheduling.planner import (
    MaxIterations,
    MaxSeconds,
    Plan,
    Problem,
    Progress,
    broken_rules,
    hand,
    plan,
    score,
)

VISITS, TECHNICIANS, DAYS, SEEDS = 480, 3, 30, (1, 2, 3)
SHORT_S, LONG_S, QUICK_LONG_S = 10.0, 300.0, 20.0
METHODS: dict[str, Callable[[Season], Plan]] = {
    "by_date": lambda made: hand.by_date(made.problem, made.last_year.tolist()),
    "by_zip": lambda made: hand.by_zip(made.problem, made.zip_area.tolist()),
    "nearest": lambda made: hand.nearest(made.problem),
}
Figures = dict[str, float]


def warm_up() -> float:
    """Compile in a process of its own, so that the compiler's memory is not counted as ours."""
    begun = time.perf_counter()
    once = "from benchmarks import plan; plan.plan_once()"
    subprocess.run([sys.executable, "-c", once], cwd=ROOT, check=True)
    compile_s = time.perf_counter() - begun
    plan_once()
    return compile_s


def plan_once() -> None:
    plan(season(20, 1, 5, 0).problem, MaxIterations(500))


def figures_of(problem: Problem, found: Plan) -> Figures:
    """What a plan comes to. A plan that breaks a rule ends the benchmark."""
    broken = broken_rules(problem, found)
    if broken:
        raise SystemExit("\n".join(broken))
    cost = score(problem, found)
    return {
        "cold": round(cost.cold_trips, 2),
        "travel_min": round(cost.travel_min, 1),
        "placed": cost.placed,
        "score": round(cost.total_min, 1),
        "travel_min_per_visit": round(cost.travel_min / cost.placed, 2),
        "cold_per_100_visits": round(100 * cost.cold_trips / cost.placed, 2),
    }


def measure(seed: int, long_s: float) -> dict[str, object]:
    """One season: the short run, the long run, and the three methods by hand."""
    made = season(VISITS, TECHNICIANS, DAYS, seed)
    course: list[tuple[float, int]] = []

    def watch(progress: Progress) -> None:
        course.append((round(progress.seconds, 2), progress.placed))

    short = figures_of(made.problem, plan(made.problem, MaxSeconds(SHORT_S), seed, watch=watch))
    say(f"season {seed}, {SHORT_S:.0f} s: {short}")
    long = figures_of(made.problem, plan(made.problem, MaxSeconds(long_s), seed))
    say(f"season {seed}, {long_s:.0f} s: {long}")
    complete = [seconds for seconds, placed in course if placed >= long["placed"]]
    by_hand = {name: figures_of(made.problem, method(made)) for name, method in METHODS.items()}
    for name, theirs in by_hand.items():
        say(f"season {seed}, {name}: {theirs}")
    return {
        "seed": seed,
        "owed": VISITS,
        "placed": short["placed"],
        "placed_300s": long["placed"],
        "first_plan_s": min(complete, default=None),
        "score_10s": short["score"],
        "score_300s": long["score"],
        "gap_percent": round(100 * (short["score"] / long["score"] - 1), 2),
        "ours": short,
        **by_hand,
        "ratios": {name: _ratios(short, theirs) for name, theirs in by_hand.items()},
    }


def _ratios(ours: Figures, theirs: Figures) -> Figures:
    keys = ("cold", "travel_min", "cold_per_100_visits", "travel_min_per_visit", "score")
    return {key: round(ours[key] / theirs[key], 3) for key in keys}


def mean_of(values: list) -> object:
    """The mean, key by key; None as soon as one season has no such figure."""
    if isinstance(values[0], dict):
        return {key: mean_of([value[key] for value in values]) for key in values[0]}
    return None if None in values else round(mean(values), 3)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    options.add_argument("--long", type=float, metavar="SECONDS")
    given = options.parse_args()
    seeds = SEEDS[:1] if given.quick else SEEDS
    long_s = given.long or (QUICK_LONG_S if given.quick else LONG_S)
    compile_s = warm_up()
    say(f"first plan of a new process: {compile_s:.1f} s")
    per_seed = [measure(seed, long_s) for seed in seeds]
    figures = mean_of(per_seed)
    assert isinstance(figures, dict)
    del figures["seed"]
    ratios = [each["ratios"][name] for each in per_seed for name in METHODS]
    finish(
        figures
        | {
            "beats_each_on_both": all(r["cold"] < 1 and r["travel_min"] < 1 for r in ratios),
            "rss_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
            "compile_s": round(compile_s, 1),
            "long_run_s": long_s,
            "quick": given.quick,
            "per_seed": per_seed,
        }
    )


if __name__ == "__main__":
    main()
