"""The planner as a plain routing solver, on published instances, through its own interface.

    bin/bench routing [--quick] [--data FOLDER] [--instances NAME,…] [--seconds S] [--cpu]

Each vehicle is a workday of one day, each customer a visit with a load, each prize the price of
leaving a visit out; nothing needs to be warm. The files are not part of the project: `--data` or
REDBUD_ROUTING_DATA names the folder that holds them (VRPTW-*.vrp and PCVRPTW-*.vrp with their
.sol, RC208.vrp and solomon/*.txt: PyVRP/Instances and VROOM-Project/vroom-scripts). Objective:
total distance (and prizes left), 1,000 customers with distances truncated to one decimal, Solomon's
100 in full precision. Best known: the .sol files, or as listed below. One core.
`--quick`: RC208 for 10 s. `--cpu`: processor seconds instead of the clock's.
"""

from __future__ import annotations

import argparse
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

from benchmarks.peers.clock import CpuSeconds
from benchmarks.report import finish, say
from scheduling.planner import (
    MaxSeconds,
    Problem,
    Visit,
    Window,
    Workday,
    broken_rules,
    plan,
    score,
)
from scheduling.planner.search import compile_once

BEST_KNOWN = {
    "RC208": 776.1,  # CVRPLIB, truncated
    "R104": 976.61,
    "RC108": 1117.53,
    "R211": 755.96,
    "RC204": 786.38,
    "C203": 591.17,
}
"""Where there is no .sol file."""
SMALL_S, LARGE_S, LARGE = 10.0, 60.0, 500
MUST_MIN = 100_000.0
"""Price of leaving out a customer who may not be left out."""


def files(folder: Path) -> dict[str, Path]:
    """The instances in a folder by name, small ones first."""
    found = [folder / "RC208.vrp", *sorted((folder / "solomon").glob("*.txt"))]
    found += [*sorted(folder.glob("VRPTW-*.vrp")), *sorted(folder.glob("PCVRPTW-*.vrp"))]
    return {path.stem: path for path in found if path.exists()}


def read(path: Path) -> dict[str, Any]:
    if path.suffix == ".txt":
        made = vrplib.read_instance(path, instance_format="solomon", compute_edge_weights=False)
        return made | {"decimals": None}
    return vrplib.read_instance(path, compute_edge_weights=False) | {"decimals": 1}


def problem_of(instance: dict[str, Any]) -> Problem:
    """The instance as a season of one day; place 0 is the depot, visit v is customer v + 1."""
    points = np.asarray(instance["node_coord"], float)
    distance = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    if instance["decimals"] is not None:
        distance = np.floor(distance * 10) / 10
    service = np.broadcast_to(instance["service_time"], len(points))
    prizes = instance.get("prize", np.full(len(points), MUST_MIN))
    opens, closes = (float(minute) for minute in instance["time_window"][0])
    workdays = (
        Workday(
            f"vehicle {number}",
            number,
            0,
            opens,
            closes,
            start_place=0,
            end_place=0,
            room=float(instance["capacity"]),
        )
        for number in range(instance["vehicles"])
    )
    visits = (
        Visit(
            key=customer,
            place=customer,
            service_min=float(service[customer]),
            windows=(Window(0, float(first), float(last)),),
            unplaced_min=float(prizes[customer]),
            load=float(instance["demand"][customer]),
        )
        for customer, (first, last) in enumerate(instance["time_window"][1:], start=1)
    )
    return Problem(1, distance.astype(np.float32), tuple(workdays), tuple(visits))


def best_known(name: str, path: Path) -> float:
    """Costs of prize-collecting solutions are in tenths."""
    solution = path.with_suffix(".sol")
    if not solution.exists():
        return BEST_KNOWN[name]
    cost = float(vrplib.read_solution(solution)["cost"])
    return cost / 10 if name.startswith("PC") else cost


def measure(name: str, path: Path, seconds: float | None, cpu: bool) -> dict[str, object]:
    problem = problem_of(read(path))
    given_s = seconds or (LARGE_S if len(problem.visits) > LARGE else SMALL_S)
    began, began_cpu = time.perf_counter(), time.process_time()
    found = plan(problem, CpuSeconds(given_s) if cpu else MaxSeconds(given_s), seed=1)
    took_s, cpu_s = time.perf_counter() - began, time.process_time() - began_cpu
    broken = broken_rules(problem, found)
    if broken:
        raise SystemExit("\n".join(broken[:9]))
    cost, best = score(problem, found), best_known(name, path)
    figures: dict[str, object] = {
        "seconds": round(took_s, 2),
        "cpu_s": round(cpu_s, 2),
        "cost": round(cost.total_min, 1),
        "best_known": best,
        "gap_percent": round(100 * (cost.total_min / best - 1), 3),
        "placed": cost.placed,
        "vehicles": len(found.by_workday()),
    }
    say(f"{name}: {figures}")
    return figures


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    options.add_argument("--data", default=os.environ.get("REDBUD_ROUTING_DATA"))
    options.add_argument("--instances")
    options.add_argument("--seconds", type=float)
    options.add_argument("--cpu", action="store_true")
    given = options.parse_args()
    if not given.data or not (there := files(Path(given.data))):
        say("No published instances here: --data or REDBUD_ROUTING_DATA names their folder.")
        raise SystemExit(2)
    names = ["RC208"] if given.quick else (given.instances or ",".join(there)).split(",")
    absent = [name for name in names if name not in there]
    if absent:
        options.error(f"not in {given.data}: {', '.join(absent)}; there are {', '.join(there)}")
    compile_once()
    load = os.getloadavg()
    routing = {name: measure(name, there[name], given.seconds, given.cpu) for name in names}
    finish({"routing": routing, "load_before": load, "load_after": os.getloadavg()})


if __name__ == "__main__":
    main()
