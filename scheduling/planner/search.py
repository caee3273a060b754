"""The season planner: a whole season as one problem, searched until told to stop.

Adaptive ruin and recreate under simulated annealing, started from nearest neighbours. The sources
are named in `inner/`, where the loop is; here are the clock, the cooling and the reporting.
"""

from collections.abc import Callable
from functools import cache
from time import monotonic

import numpy as np

from .crowd import exaggerated, minute_worth, with_dear_minutes
from .day_route import polished
from .inner.anneal import anneal, keep_best, refresh_all
from .inner.tables import BEST, NOW, Ints, State, Tables
from .pairs import with_pairs_placed
from .problem import Plan, Problem, Visit, Workday
from .routes import plan_of
from .score import Score, score
from .start import starting_state
from .stop import Progress, Stop, share_done
from .tables import tables_of

Watch = Callable[[Progress], None]

ROUNDS = 500
"""Rounds between two looks at the stop rule: some hundredths of a second."""
WATCH_EVERY_S, WATCHED_SHARE = 0.2, 0.05
"""A watcher is called every so many seconds, less often where that takes more than its share of the
time: to build a plan of 10,000 visits for a look takes about as long as a thousand rounds."""
HOT_MIN, WARM_START_MIN, COLD_MIN = 80.0, 1.0, 0.5
"""Temperature, in minutes of cost: at first, at first when a plan is given, and at the end."""
HOT_VISITS = 1000
"""With more visits than these the search begins less hot: there are fewer rounds for each."""
QUICK_SHARE, QUICK_MIN = 0.04, 1.0
"""The first part of a new search is cool, so that there is a good plan to look at soon."""
GUIDED_SHARE, LOOK_SHARE = 0.97, 0.02
"""Where hours are short (crowd.py), minutes are dear until so much of the search is done; every now
and then the plan is looked at with its own prices."""


def plan(
    problem: Problem, stop: Stop, seed: int = 0, *, start: Plan | None = None,
    watch: Watch | None = None,
) -> Plan:  # fmt: skip
    """The best plan found before `stop` says so. The same seed and rounds give the same plan.

    `start`: a plan to go on from; few of its visits will move. `watch` is called with a `Progress`
    as soon as there is any plan, some times a second, and at the end. Raises `ProblemRefused`.
    """
    problem.check()
    compile_once()
    search = _Search(problem, seed, start)
    watch_again_s = 0.0
    while True:
        progress = search.progress()
        over = stop(progress) or not problem.visits or not problem.workdays
        if over:
            search.finish()
        if watch is not None and (over or progress.seconds >= watch_again_s):
            watch(progress)
            took_s = monotonic() - search.began - progress.seconds
            watch_again_s = progress.seconds + max(WATCH_EVERY_S, took_s / WATCHED_SHARE)
        if over:
            return search.best()
        search.go_on(share_done(stop, progress))


@cache
def compile_once() -> float:
    """Seconds taken to compile the inner loop, or to load it; so no search pays for it in time."""
    began = monotonic()
    workday = Workday("", "", day=0, start_min=0, end_min=60, start_place=0, end_place=0)
    travel = np.zeros((1, 1), np.float32)
    # Two visits, for a finished plan has each day of two or more put into its best order.
    tiny = Problem(1, travel, (workday,), (Visit("", 0, service_min=1),) * 2)
    search = _Search(tiny, 0, None)
    search.go_on(1.0)
    search.finish()
    return monotonic() - began


class _Search:
    """One search: its arrays, its clock and its temperature."""

    def __init__(self, problem: Problem, seed: int, start: Plan | None) -> None:
        self.began = monotonic()
        self.problem = problem
        searched = with_pairs_placed(problem)
        self.tables: Tables = tables_of(searched)
        self.state: State = starting_state(self.tables, searched, start, seed)
        self.anew = start is None
        # With dear minutes a promise would seem cheap to break.
        self.may_guide = self.anew and all(v.kept is None or v.fixed for v in searched.visits)
        self.guide: Tables | None = None
        self.best_min = float(self.state.total[BEST])
        self.look_at = 0.0
        crowd = max(1.0, len(problem.visits) / HOT_VISITS)
        self.hot_min = HOT_MIN / crowd if self.anew else WARM_START_MIN
        self.rounds = 0
        self.searched = searched
        # The inner loop counts keeping a slot as a discount from this; see menus.start_price.
        self.moving_all = sum(v.move_min for v in searched.visits if v.kept is not None)
        self._built: tuple[float, Plan, Score] | None = None

    def go_on(self, share: float) -> None:
        """One stretch of rounds at the temperature due after `share` of the search."""
        temperature = self.hot_min * (COLD_MIN / self.hot_min) ** share
        if self.anew and share < QUICK_SHARE:
            temperature = QUICK_MIN
        if self.may_guide and share >= self.look_at:
            self._look(share)
        anneal(self.guide or self.tables, self.state, ROUNDS, temperature)
        if self.guide is None:
            self.best_min = float(self.state.total[BEST])
        self.rounds += ROUNDS

    def _look(self, share: float) -> None:
        """Keep the plan if it is the best at its own prices, and choose those that guide on."""
        self.look_at = share + LOOK_SHARE
        if self.guide is not None:
            refresh_all(self.tables, self.state)
            self.state.total[BEST] = self.best_min
            if self.state.total[NOW] < self.best_min:
                keep_best(self.state)
                self.best_min = float(self.state.total[BEST])
            self.guide = None
        short = QUICK_SHARE <= share < GUIDED_SHARE
        worth = minute_worth(self.tables, self.state) if short else 1.0
        if worth > 1.0:
            shown = exaggerated(worth, share / GUIDED_SHARE)
            self.guide = with_dear_minutes(self.tables, shown)
            refresh_all(self.guide, self.state)
            self.state.total[BEST] = -np.inf  # at these prices no plan is kept as the best

    def progress(self) -> Progress:
        price = self.best_min + self.moving_all
        return Progress(monotonic() - self.began, self.rounds, price, self.best, self.figures)

    def best(self) -> Plan:
        return self._build()[0]

    def finish(self) -> None:
        """Put every day of a few stops of the best plan into its best order."""
        self._look(1.0)
        self._built = None
        self._build(polish=True)

    def figures(self) -> Score:
        return self._build()[1]

    def _build(self, *, polish: bool = False) -> tuple[Plan, Score]:
        """The best plan and its score, built anew only when a better one was found."""
        if self._built is None or self._built[0] != self.best_min:
            found = self._plan_of(self.state.best_after)
            if polish:
                after = polished(self.tables, self.state.best_after, self.state.best_on)
                # A shorter day is dearer where it makes the days of the technicians less even.
                found = min(found, self._plan_of(after), key=lambda pair: pair[1].total_min)
            self._built = self.best_min, *found
        return self._built[1:]

    def _plan_of(self, after: Ints) -> tuple[Plan, Score]:
        plan = plan_of(self.tables, self.searched, after, self.state.best_on)
        return plan, score(self.problem, plan)
