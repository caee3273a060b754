"""The season planner: a whole season as one problem, searched until told to stop.

Adaptive ruin and recreate under simulated annealing, started from nearest neighbours. The sources
are named in `inner/`, where the loop is; here are the clock, the cooling and the reporting.
"""

from collections.abc import Callable
from time import monotonic

from .inner.anneal import anneal
from .inner.tables import BEST, State, Tables
from .problem import Plan, Problem
from .routes import plan_of
from .score import score
from .start import starting_state
from .stop import Progress, Stop, share_done
from .tables import tables_of

Watch = Callable[[Progress], None]

ROUNDS = 500
"""Rounds between two looks at the stop rule: some hundredths of a second."""
HOT_MIN, WARM_START_MIN, COLD_MIN = 16.0, 1.0, 0.8
"""Temperature, in minutes of cost: at first, at first when a plan is given, and at the end."""


def plan(
    problem: Problem, stop: Stop, seed: int = 0, *, start: Plan | None = None,
    watch: Watch | None = None,
) -> Plan:  # fmt: skip
    """The best plan found before `stop` says so. The same seed and rounds give the same plan.

    `start`: a plan to go on from; few of its visits will move. `watch` is called with each
    `Progress`, the first time as soon as there is any plan. Raises `ProblemRefused`.
    """
    problem.check()
    if not problem.visits or not problem.workdays:
        return _nothing_to_search(problem, watch)
    search = _Search(problem, seed, start)
    while True:
        progress = search.progress()
        if watch is not None:
            watch(progress)
        if stop(progress):
            return search.best()
        search.go_on(share_done(stop, progress))


def _nothing_to_search(problem: Problem, watch: Watch | None) -> Plan:
    """No visits, or nobody who drives: every visit is left out."""
    empty = Plan((None,) * len(problem.visits))
    if watch is not None:
        watch(Progress(0.0, 0, score(problem, empty).total_min, 0, 0.0, 0.0, lambda: empty))
    return empty


class _Search:
    """One search: its arrays, its clock and its temperature."""

    def __init__(self, problem: Problem, seed: int, start: Plan | None) -> None:
        self.began = monotonic()
        self.problem = problem
        self.tables: Tables = tables_of(problem)
        self.state: State = starting_state(self.tables, problem, start, seed)
        self.hot_min = HOT_MIN if start is None else WARM_START_MIN
        self.rounds = 0
        self._built: tuple[float, Plan] | None = None

    def go_on(self, share: float) -> None:
        """One stretch of rounds at the temperature due after `share` of the search."""
        temperature = self.hot_min * (COLD_MIN / self.hot_min) ** share
        anneal(self.tables, self.state, ROUNDS, temperature)
        self.rounds += ROUNDS

    def best(self) -> Plan:
        """The best plan so far, built anew only when a better one was found."""
        price = float(self.state.total[BEST])
        if self._built is None or self._built[0] != price:
            routes = self.state.best_after, self.state.best_on
            self._built = price, plan_of(self.tables, self.problem, *routes)
        return self._built[1]

    def progress(self) -> Progress:
        found = score(self.problem, self.best())
        return Progress(
            seconds=monotonic() - self.began,
            iterations=self.rounds,
            score=found.total_min,
            placed=found.placed,
            cold_trips=found.cold_trips,
            travel_min=found.travel_min,
            best=self.best,
        )
