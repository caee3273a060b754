"""How cheap a plan can be at most: a lower bound on the whole cost, by column generation.

Every workday drives one of all its possible routes or none, every visit is on a route or left out
(Dantzig and Wolfe 1960). Give each visit a worth: no plan is cheaper than the sum of all worths
less what the best route of each workday gains (Lagrange), whatever the worths are, so the search
for good ones may be stopped at any time. It goes two ways, one after the other:
1. roughly, by the volume algorithm (Barahona and Anbil 2000, from memory): what no route visits
   becomes worth more, what several visit becomes worth less, by the mean of the last routes;
2. closely, by a linear program (HiGHS) of the routes found so far, whose prices are tried next.
What makes no plan cheaper is forgotten: lunch, overtime's price, the truck's room, even loads, and
that two technicians meet. Times are rounded down to steps of `STEP_MIN`; nothing is lost where all
of them are whole steps.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from operator import itemgetter
from time import monotonic

import highspy
import numpy as np

from .inner.tables import Floats
from .linear import QuietHighs
from .problem import Plan, Problem
from .route_grid import STEP_MIN, Grid, Route
from .tables import tables_of

DEAREST_MIN = 150.0
"""No visit is worth more than this here. Leaving one out for less than its price makes nothing
dearer, and keeps the worths from wandering; no use in a season with more work than hours."""
ROUGH_SHARE, ROUGH_NEAR, MOST_LOOKS = 0.35, 10, 200
"""The rough search: until which part of the time, to how many homes routes go on from each,
and how often it looks at most."""
CLOSE_SHARE, CLOSE_NEAR = 0.75, 30
"""The same of the close one; after it all homes count, as they must for the bound."""
NEWEST = 0.3
"""How much of the last routes is in the mean of them."""
FIRST_STEP, LONGER, SHORTER, PATIENCE = 0.5, 1.1, 0.7, 4
"""Steps of the rough search, as a part of the way to `AIM`: longer after each better bound, shorter
after so many looks without one."""
AIM = 0.97
"""Where the bound may come to at most, as a part of what the known plan costs."""
HOLD = 0.85
"""How much of the best worths so far stays in those tried next (Wentges 1997)."""
CLOSED_MIN = 0.5
ROUNDING_MIN = 1e-6
Found = tuple[int, list[Route]]


@dataclass(frozen=True, slots=True)
class RouteBound:
    """No plan costs less than `least_min`. `program_min`: the cost of the program with the routes
    found, to which the bound rises in time. `routes`: how many were found."""

    least_min: float
    program_min: float
    routes: int
    seconds: float


def least_cost(
    problem: Problem,
    known: Plan,
    seconds: float,
    clock: Callable[[], float] = monotonic,
    threads: int = 1,
) -> RouteBound | None:
    """A bound found in about `seconds`, begun with the routes of a known plan. None where there is
    no such program: with kept slots, or without visits on any workday. `threads`: how many
    workdays are looked at side by side."""
    if any(visit.kept is not None for visit in problem.visits) or not known.by_workday():
        return None
    with ThreadPoolExecutor(threads) as pool:
        return _Search(problem, known, clock, pool, threads).run(seconds)


class _Search:
    """The program and the worths; `best`: the best worths so far, by a guess of their bound."""

    def __init__(
        self,
        problem: Problem,
        known: Plan,
        clock: Callable[[], float],
        pool: ThreadPoolExecutor,
        threads: int,
    ) -> None:
        self.clock, self.began, self.pool = clock, clock(), pool
        tables = tables_of(problem)
        self.grid = Grid(problem, tables)
        self.desks = [self.grid.desk() for _ in range(threads)]
        self.dearest = np.minimum(tables.unplaced, DEAREST_MIN)
        self.program = _Program(self.dearest, tables.workdays)
        self.best, self.best_min = self.dearest.copy(), -np.inf
        self.known_min = self.dearest[[slot is None for slot in known.slots]].sum()
        for workday, slots in known.by_workday().items():
            stops = [slot.visit for slot in slots]
            self._begin_with(workday, stops, [int(s.start_min // STEP_MIN) for s in slots])
        self.best = np.minimum(self.best, self.dearest)

    def _begin_with(self, workday: int, stops: list[int], starts: list[int]) -> None:
        """A known route, the same without each of its stops, and what each stop costs in it."""
        cost_min = self.grid.cost(workday, stops, starts)
        self.known_min += cost_min
        self.program.add(workday, stops, cost_min)
        for k in range(len(stops) if len(stops) > 1 else 0):
            fewer, at = stops[:k] + stops[k + 1 :], starts[:k] + starts[k + 1 :]
            self.program.add(workday, fewer, self.grid.cost(workday, fewer, at))
        own = self.grid.prices(workday, stops, starts)
        self.best[stops] = own + (cost_min - own.sum()) / len(stops)

    def run(self, seconds: float) -> RouteBound:
        self._roughly(ROUGH_SHARE * seconds)
        least_min, until_s, everywhere = -np.inf, CLOSE_SHARE * seconds, len(self.dearest)
        while True:
            self._closely(until_s)
            program_min, prices, day_prices = self.program.solve()
            began_s = self._spent
            bound, found = self._look(everywhere, self.best)
            least_min = max(least_min, bound)
            added = self._add(found, prices, day_prices)
            closed = program_min - least_min < CLOSED_MIN
            # Another look at all homes takes as long again.
            until_s = seconds - (self._spent - began_s)
            if not added or closed or self._spent > until_s:
                break
        return RouteBound(max(0.0, least_min), program_min, self.program.routes, self._spent)

    @property
    def _spent(self) -> float:
        return self.clock() - self.began

    def _roughly(self, until_s: float) -> None:
        tried, step, in_vain = self.best, FIRST_STEP, 0
        short = np.zeros(len(tried))  # of each visit, what part of it the mean routes do not visit
        newest = 1.0
        for _ in range(MOST_LOOKS):
            if self._spent > until_s:
                return
            before = self.best_min
            bound, found = self._look(ROUGH_NEAR, tried)
            here = np.ones(len(tried))
            for workday, routes in found:
                np.subtract.at(here, routes[0].stops, 1.0)
                for route in routes:
                    self.program.add(workday, route.stops, route.cost_min)
            short, newest = newest * here + (1 - newest) * short, NEWEST
            in_vain = 0 if bound > before else in_vain + 1
            if in_vain == 0:
                step *= LONGER
            elif in_vain % PATIENCE == 0:
                step *= SHORTER
            way_min = max(AIM * self.known_min, self.best_min) - self.best_min
            longest = short @ short
            if longest == 0 or way_min <= 0:
                return  # The mean routes visit everybody once: nothing is better.
            tried = np.clip(self.best + step * way_min / longest * short, 0.0, self.dearest)

    def _closely(self, until_s: float) -> None:
        tried, added = self.best, 1
        self.best_min = -np.inf  # a guess by fewer homes, and so too high
        while added and self._spent < until_s:
            _, prices, day_prices = self.program.solve()
            _, found = self._look(CLOSE_NEAR, tried)
            added = self._add(found, prices, day_prices)
            if not added:
                _, found = self._look(CLOSE_NEAR, prices)
                added = self._add(found, prices, day_prices)
            tried = self._between(prices)

    def _between(self, prices: Floats) -> Floats:
        return HOLD * self.best + (1 - HOLD) * prices

    def _look(self, near: int, worth: Floats) -> tuple[float, list[Found]]:
        """The bound at these worths, and of each workday the routes that gain, best first."""
        every = range(self.grid.tables.workdays)

        def look(number: int) -> list[Found]:
            desk, mine = self.desks[number], every[number :: len(self.desks)]
            return [(day, list(self.grid.best_routes(desk, day, worth, near))) for day in mine]

        parts = self.pool.map(look, range(len(self.desks)))
        found = sorted((one for part in parts for one in part), key=itemgetter(0))
        gains = sum(routes[0].gain_min for _, routes in found if routes)
        bound = float(worth.sum()) + gains
        if bound > self.best_min:
            self.best_min, self.best = bound, worth
        return bound, [(workday, routes) for workday, routes in found if routes]

    def _add(self, found: list[Found], prices: Floats, day_prices: Floats) -> int:
        """How many of the routes are new and gain at the program's prices."""
        added = 0
        for workday, routes in found:
            for route in routes:
                gain_min = route.cost_min - prices[route.stops].sum() - day_prices[workday]
                if gain_min < -ROUNDING_MIN:
                    added += self.program.add(workday, route.stops, route.cost_min)
        return added


class _Program:
    """The linear program: a row for each visit, then one for each workday; columns are routes."""

    def __init__(self, dearest: Floats, workdays: int) -> None:
        self.visits = len(dearest)
        self.known: set[tuple[int, ...]] = set()
        self.solver = QuietHighs()
        nothing = np.array([], np.int32), np.array([], np.float64)
        for _ in range(self.visits):
            self.solver.addRow(1.0, np.inf, 0, *nothing)
        for _ in range(workdays):
            self.solver.addRow(-np.inf, 1.0, 0, *nothing)
        for visit, price in enumerate(dearest):
            left_out = np.array([visit], np.int32), np.array([1.0])
            self.solver.addCol(float(price), 0.0, np.inf, 1, *left_out)

    @property
    def routes(self) -> int:
        return len(self.known)

    def add(self, workday: int, stops: list[int], cost_min: float) -> bool:
        """Whether the route is a new one."""
        if (workday, *stops) in self.known:
            return False
        self.known.add((workday, *stops))
        rows, counts = np.unique([*stops, self.visits + workday], return_counts=True)
        entries = rows.astype(np.int32), counts.astype(np.float64)
        self.solver.addCol(cost_min, 0.0, np.inf, len(rows), *entries)
        return True

    def solve(self) -> tuple[float, Floats, Floats]:
        """Cost, the prices of the visits and those (none above 0) of the workdays."""
        self.solver.run()
        if self.solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            raise RuntimeError("The program of routes was not solved.")
        duals = np.array(self.solver.getSolution().row_dual)
        value = float(self.solver.getInfo().objective_function_value)
        return value, np.maximum(duals[: self.visits], 0.0), duals[self.visits :]
