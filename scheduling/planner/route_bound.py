"""How cheap a plan can be at most: a lower bound on the whole cost, by column generation.

Every workday drives one of all its possible routes or none, every visit is on a route or left out
(Dantzig and Wolfe 1960). The linear program of that (HiGHS) knows only the routes found so far; at
its prices of visits the best missing ones are worked out (`inner/pricing.py`). At any prices their
sum less what the best routes gain is a bound (Lagrange), so it may be stopped at any time.
What makes no plan cheaper is forgotten: lunch, overtime's price, the truck's room, even loads, and
that two technicians meet. Times are rounded down to steps of `STEP_MIN`; nothing is lost where all
of them are whole steps.
"""

from dataclasses import dataclass
from time import monotonic

import highspy
import numpy as np

from .inner.tables import Floats
from .problem import Plan, Problem
from .route_grid import STEP_MIN, Grid
from .tables import tables_of

DEAREST_MIN = 150.0
"""No visit is worth more than this here. Leaving one out for less than its price makes nothing
dearer, and keeps the prices from wandering; no use in a season with more work than hours."""
HOLD = 0.7
"""How much of the best prices so far stays in the prices that are tried next (Wentges 1997)."""
NEAR, SOME_SHARE = 60, 0.8
"""Most of the time a route goes on to the nearest homes only; the bound counts all of them."""
CLOSED_MIN = 0.5
ROUNDING_MIN = 1e-6


@dataclass(frozen=True, slots=True)
class RouteBound:
    """No plan costs less than `least_min`. `program_min`: the cost of the program with the routes
    found, to which the bound rises in time. `routes`: how many were found."""

    least_min: float
    program_min: float
    routes: int
    seconds: float


def least_cost(problem: Problem, known: Plan, seconds: float) -> RouteBound | None:
    """A bound found in about `seconds`, begun with the routes of a known plan. None where there is
    no such program: with kept slots, or without visits on any workday."""
    if any(visit.kept is not None for visit in problem.visits) or not known.by_workday():
        return None
    return _Search(problem, known).run(seconds)


class _Search:
    """The program and its prices; `centre`: the best prices so far, by a guess of their bound."""

    def __init__(self, problem: Problem, known: Plan) -> None:
        self.began = monotonic()
        tables = tables_of(problem)
        self.some = Grid(problem, tables, NEAR)
        self.all = Grid(problem, tables, tables.visits)
        self.workdays = tables.workdays
        dearest = np.minimum(tables.unplaced, DEAREST_MIN)
        self.program = _Program(dearest, tables.workdays)
        self.centre, self.centre_min = dearest.copy(), -np.inf
        for workday, slots in known.by_workday().items():
            stops = [slot.visit for slot in slots]
            self._begin_with(workday, stops, [int(s.start_min // STEP_MIN) for s in slots])
        self.centre = np.minimum(self.centre, dearest)

    def _begin_with(self, workday: int, stops: list[int], starts: list[int]) -> None:
        """A known route, the same without each of its stops, and what each stop costs in it."""
        self.program.add(workday, stops, self.some.cost(workday, stops, starts))
        for k in range(len(stops) if len(stops) > 1 else 0):
            fewer, at = stops[:k] + stops[k + 1 :], starts[:k] + starts[k + 1 :]
            self.program.add(workday, fewer, self.some.cost(workday, fewer, at))
        own = self.some.prices(workday)[stops, starts]
        drive_min = self.some.cost(workday, stops, starts) - own.sum()
        self.centre[stops] = own + drive_min / len(stops)

    def run(self, seconds: float) -> RouteBound:
        least_min, tried = -np.inf, self.centre
        added, spent = 1, 0.0
        while added and spent < SOME_SHARE * seconds:
            program_min, prices, day_prices = self.program.solve()
            _, added = self._look(self.some, tried, prices, day_prices)
            if not added:
                _, added = self._look(self.some, prices, prices, day_prices)
            spent = monotonic() - self.began
            tried = HOLD * self.centre + (1 - HOLD) * prices
        added = 1
        while added:
            program_min, prices, day_prices = self.program.solve()
            bound, added = self._look(self.all, self.centre, prices, day_prices)
            least_min = max(least_min, bound)
            if program_min - least_min < CLOSED_MIN or monotonic() - self.began > seconds:
                break
            self.centre = HOLD * self.centre + (1 - HOLD) * prices
        took_s = monotonic() - self.began
        return RouteBound(max(0.0, least_min), program_min, self.program.routes, took_s)

    def _look(
        self, grid: Grid, tried: Floats, prices: Floats, day_prices: Floats
    ) -> tuple[float, int]:
        """The bound at the prices tried, and how many routes gain at the program's prices."""
        bound, added = float(tried.sum()), 0
        for workday in range(self.workdays):
            found = list(grid.best_routes(workday, tried))
            bound += min(0.0, found[0].gain_min) if found else 0.0
            for route in found:
                gain_min = route.cost_min - prices[route.stops].sum() - day_prices[workday]
                if gain_min < -ROUNDING_MIN:
                    added += self.program.add(workday, route.stops, route.cost_min)
        if bound > self.centre_min:
            self.centre_min, self.centre = bound, tried
        return bound, added


class _Program:
    """The linear program: a row for each visit, then one for each workday; columns are routes."""

    def __init__(self, dearest: Floats, workdays: int) -> None:
        self.visits = len(dearest)
        self.known: set[tuple[int, ...]] = set()
        self.solver = highspy.Highs()
        self.solver.setOptionValue("output_flag", False)
        self.solver.setOptionValue("threads", 1)
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
