"""How seconds and memory grow with the size of a season: a picture from figures of our own.

    bin/bench growth [--quick] [--sizes 500,1000,…] [--seconds S] [--seed N] [--cpu] [--draw]

Seasons of 500 to 10,000 visits with as many visits a technician (250 in 45 working days), so that
only the size differs. Each is planned in a process of its own until every visit has its place, for
`--seconds` at the longest. `complete_s`: seconds of the search until then, tables included; null
where some were still left out (`placed`). They are looked at ever more rarely, each time after a
sixth more seconds, and the looks are not counted. `above_mb`: what the process took above the bare
one with the planner loaded. `--cpu`: processor seconds, for a machine on which others work too.
The figures go to docs/pictures/growth.json and the picture of them to docs/pictures/growth.svg.
`--draw`: only the picture, from the figures that are there. `--quick`: 500 and 1,000 visits, and
nothing is written.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
for library in ("OMP", "OPENBLAS", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"

from benchmarks.growth_picture import drawn
from benchmarks.instances import big_season
from benchmarks.report import finish, machine, say
from scheduling.planner import Progress, plan
from scheduling.planner.search import compile_once

SIZES, QUICK_SIZES = (500, 1000, 2000, 5000, 10_000), (500, 1000)
VISITS_A_TECHNICIAN, DAYS = 250, 45
LOOK_AGAIN = 7 / 6
PICTURES = ROOT / "docs" / "pictures"
FIGURES, PICTURE = PICTURES / "growth.json", PICTURES / "growth.svg"
Point = dict[str, float | None]


class UntilComplete:
    """A stop rule: when every visit is placed, or after so many seconds without the looks."""

    def __init__(self, visits: int, seconds: float, cpu: bool) -> None:
        self.visits, self.seconds = visits, seconds
        self.now = time.process_time if cpu else time.monotonic
        self.began, self.looking_s, self.look_s = self.now(), 0.0, 0.0
        self.placed, self.placed_s = 0, 0.0

    def __call__(self, progress: Progress) -> bool:
        if self.spent < self.look_s:
            return self.spent >= self.seconds
        before = self.now()
        self.placed = progress.figures().placed
        self.looking_s += self.now() - before
        self.placed_s = self.spent
        self.look_s = LOOK_AGAIN * self.placed_s
        return self.placed == self.visits or self.spent >= self.seconds

    def share(self, progress: Progress) -> float:
        return min(1.0, self.spent / self.seconds)

    @property
    def spent(self) -> float:
        return self.now() - self.began - self.looking_s


def run_one(visits: int, seconds: float, seed: int, cpu: bool) -> Point:
    """One season in this process."""
    problem = big_season(visits, visits // VISITS_A_TECHNICIAN, DAYS, seed).problem
    compile_once()
    bare_mb = _most_mb()
    stop = UntilComplete(visits, seconds, cpu)
    plan(problem, stop, seed)
    complete = stop.placed == visits
    return {
        "visits": visits,
        "placed": stop.placed,
        "complete_s": round(stop.placed_s, 2) if complete else None,
        "above_mb": round(_most_mb() - bare_mb, 1),
    }


def _most_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measure(visits: int, seconds: float, seed: int, cpu: bool) -> Point:
    """The same in a process of its own, for memory is only ever counted upwards."""
    command = [sys.executable, __file__, "--one", str(visits)]
    command += ["--seconds", str(seconds), "--seed", str(seed)] + ["--cpu"] * cpu
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    point: Point = json.loads(done.stdout.splitlines()[-1])
    say(str(point))
    return point


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true")
    options.add_argument("--sizes", default=",".join(map(str, SIZES)))
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--cpu", action="store_true")
    options.add_argument("--draw", action="store_true")
    options.add_argument("--one", type=int, help=argparse.SUPPRESS)
    given = options.parse_args()
    if given.one:
        print(json.dumps(run_one(given.one, given.seconds, given.seed, given.cpu)))
        return
    if given.draw:
        figures = json.loads(FIGURES.read_text())
    else:
        sizes = QUICK_SIZES if given.quick else map(int, given.sizes.split(","))
        load = os.getloadavg()
        points = [measure(size, given.seconds, given.seed, given.cpu) for size in sizes]
        figures = {"points": points, "cpu_seconds": given.cpu, "seed": given.seed}
        figures |= {"load_before": load, "load_after": os.getloadavg()}
        figures |= {"machine": machine()}
        if not given.quick:
            FIGURES.write_text(json.dumps(figures, indent=1) + "\n")
    if not given.quick:
        PICTURE.write_text(drawn(figures["points"], cpu=figures["cpu_seconds"]))
    finish(figures)


if __name__ == "__main__":
    main()
