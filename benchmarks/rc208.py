"""How good is the search as a plain routing solver? RC208 of Solomon's published instances in 10 s.

100 customers with time windows, 25 vehicles. Objective: total distance, each distance truncated to
one decimal, for which the best known value is 776.1 (CVRPLIB; DIMACS challenge 2022, from memory).
Every vehicle is a workday of the same day and nothing needs to be warm. The 1,000 units that a
vehicle holds are not given to the planner here; whether its routes respect them is checked
afterwards. More instances, with loads: `routing.py`.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

import numpy as np
import vrplib

from benchmarks.report import finish, say
from scheduling.planner import (
    MaxIterations,
    MaxSeconds,
    Plan,
    Problem,
    Visit,
    Window,
    Workday,
    broken_rules,
    plan,
    score,
)

DATA = Path(os.environ.get("REDBUD_ROUTING_DATA", "routing")) / "RC208.vrp"
BEST_KNOWN, SECONDS, UNPLACED_MIN = 776.1, 10.0, 100_000.0


def problem_of(instance: dict[str, Any]) -> Problem:
    """The instance as a season of one day; place 0 is the depot, visit v is customer v + 1."""
    points = instance["node_coord"]
    distance = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    opens, closes = (float(minute) for minute in instance["time_window"][0])
    workdays = (
        Workday(f"vehicle {number}", number, 0, opens, closes, start_place=0, end_place=0)
        for number in range(instance["vehicles"])
    )
    visits = (
        Visit(
            key=customer,
            place=customer,
            service_min=float(instance["service_time"]),
            windows=(Window(0, float(first), float(last)),),
            unplaced_min=UNPLACED_MIN,
        )
        for customer, (first, last) in enumerate(instance["time_window"][1:], start=1)
    )
    truncated = np.floor(distance * 10) / 10
    return Problem(1, truncated.astype(np.float32), tuple(workdays), tuple(visits))


def heaviest_load(instance: dict[str, Any], found: Plan) -> int:
    """The largest demand on one vehicle."""
    demand = instance["demand"]
    routes = found.by_workday().values()
    return max((int(sum(demand[slot.visit + 1] for slot in route)) for route in routes), default=0)


def main() -> None:
    if not DATA.exists():
        say("RC208 is not here: REDBUD_ROUTING_DATA names the folder with the published RC208.vrp.")
        raise SystemExit(2)
    instance = vrplib.read_instance(DATA)
    problem = problem_of(instance)
    plan(problem, MaxIterations(500))
    begun = time.perf_counter()
    found = plan(problem, MaxSeconds(SECONDS), seed=1)
    seconds = time.perf_counter() - begun
    cost = score(problem, found)
    load = heaviest_load(instance, found)
    finish(
        {
            "gap_percent": round(100 * (cost.travel_min / BEST_KNOWN - 1), 3),
            "cost": round(cost.travel_min, 1),
            "best_known": BEST_KNOWN,
            "seconds": round(seconds, 2),
            "capacity_kept": load <= instance["capacity"],
            "heaviest_load": load,
            "capacity": instance["capacity"],
            "vehicles_used": len(found.by_workday()),
            "placed": cost.placed,
            "customers": len(problem.visits),
            "broken_rules": broken_rules(problem, found),
        }
    )


if __name__ == "__main__":
    main()
