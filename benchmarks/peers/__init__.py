"""Ready-made solvers on the same seasons: each takes a season and seconds and gives routes.

They need requirements-bench.txt (`bin/bench sizes --peers …` installs it). What a solver cannot say
it is spared: each knows warmth by the day only, and its routes get the best starts that their order
allows (`plan_of_routes`), by the planner's own exact timing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from scheduling.planner import Plan, Problem, Slot
from scheduling.planner.routes import load, plan_of
from scheduling.planner.tables import tables_of

Routes = Mapping[int, Sequence[int]]
"""Workday (index) -> its visits (indices) in the order of driving."""


def plan_of_routes(problem: Problem, routes: Routes) -> Plan:
    """The routes with their best starts; a stop that breaks a rule in its place is left out."""
    slots: list[Slot | None] = [None] * len(problem.visits)
    for workday, stops in routes.items():
        for position, visit in enumerate(stops):
            slots[visit] = Slot(visit, workday, float(position))
    tables = tables_of(problem)
    state = load(tables, problem, Plan(tuple(slots)), seed=0)
    return plan_of(tables, problem, state.after, state.on)


def table_of(problem: Problem) -> np.ndarray:
    """Minutes between all places [places, places]."""
    places = range(problem.places)
    return np.array([problem.drives_from(place) for place in places], np.float64)


def day_price(problem: Problem) -> np.ndarray:
    """[visits, days]: minutes of a visit on a day at its warmest hour; infinite where it may not
    be."""
    price = np.full((len(problem.visits), problem.days), np.inf)
    hours = range(17, 31)  # starts from half past eight to three
    for index, visit in enumerate(problem.visits):
        for day in problem.workdays_by_day:
            windows = list(problem.windows_on(visit, day))
            starts = [h for h in hours if any(a <= 30 * h <= b for a, b in windows)]
            if not starts or day < visit.due_from_day:
                continue
            cold = 0.0
            if visit.warmth_class is not None:
                cold = 1 - problem.warmth[visit.warmth_class, day, starts].max()
            late = 0 if visit.due_day is None else max(0, day - visit.due_day)
            prices = problem.prices
            price[index, day] = prices.cold_trip_min * cold + prices.late_day_min * late
    return price


def half_day(problem: Problem, visit: int) -> tuple[float, float]:
    """The hours in which the customer lets the work start, the same on all its days here."""
    windows = problem.visits[visit].windows
    if not windows:
        return 0.0, 1440.0
    return windows[0].earliest_start_min, windows[0].latest_start_min
