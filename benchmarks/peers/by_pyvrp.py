"""PyVRP 0.14: one prize-collecting problem, a vehicle type for each workday, a profile of costs for
each day and set of skills. And the same week by week, after a flow has shared out the weeks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from pyvrp import Client, Depot, Location, ProblemData, VehicleType
from pyvrp import solve as pyvrp_solve
from pyvrp.stop import MaxRuntime

from benchmarks.peers import Routes, day_price, half_day
from scheduling.planner import Problem

PER_MIN, NEVER = 10, 10_000_000
WORKDAYS_A_WEEK = 5


def solve(problem: Problem, seconds: float, seed: int) -> Routes:
    """The whole season at once."""
    visits, workdays = range(len(problem.visits)), range(len(problem.workdays))
    return _joint(problem, day_price(problem), visits, workdays, seconds, seed)


def solve_in_weeks(problem: Problem, seconds: float, seed: int) -> Routes:
    """A min-cost flow gives each visit a week; what a week cannot hold goes on to the next one."""
    price = day_price(problem)
    weeks = _weeks(problem, price)
    routes: dict[int, Sequence[int]] = {}
    left: list[int] = []
    count = -(-problem.days // WORKDAYS_A_WEEK)
    for week in range(count):
        days = range(week * WORKDAYS_A_WEEK, (week + 1) * WORKDAYS_A_WEEK)
        workdays = [w for w, workday in enumerate(problem.workdays) if workday.day in days]
        wanted = [*left, *(v for v, its in enumerate(weeks) if its == week)]
        found = _joint(problem, price, wanted, workdays, seconds / count, seed)
        placed = {visit for stops in found.values() for visit in stops}
        left = [visit for visit in wanted if visit not in placed]
        routes |= found
    return routes


def _joint(problem, price, visits, workdays, seconds, seed) -> dict[int, list[int]]:
    places = [*{problem.workdays[w].start_place: 0 for w in workdays}]
    depots = len(places)
    places += [problem.visits[v].place for v in visits]
    drive = np.rint(table_of_places(problem, places) * PER_MIN).astype(np.int64)
    kinds = sorted({(problem.workdays[w].day, bool(problem.workdays[w].skills)) for w in workdays})
    costs = [_costs(problem, price, list(visits), depots, drive, *kind) for kind in kinds]
    types = [_vehicle(problem, w, places, kinds) for w in workdays]
    data = ProblemData(
        locations=[Location(0, 0) for _ in places],
        clients=[_client(problem, v, depots + k) for k, v in enumerate(visits)],
        depots=[Depot(location=k) for k in range(depots)],
        vehicle_types=types,
        distance_matrices=costs,
        duration_matrices=[drive] * len(kinds),
    )
    best = pyvrp_solve(data, MaxRuntime(seconds), seed=seed, display=False).best
    listed = list(visits)
    routes: dict[int, list[int]] = {}
    for route in best.routes():
        stops = [listed[activity.idx] for activity in route.schedule() if activity.is_client()]
        routes[list(workdays)[route.vehicle_type()]] = stops
    return routes


def table_of_places(problem: Problem, places: list[int]) -> np.ndarray:
    return np.array([problem.drives_from(place)[places] for place in places])


def _costs(problem, price, visits, depots, drive, day, senior):
    into = np.zeros(len(drive))
    for k, visit in enumerate(visits):
        able = senior or not problem.visits[visit].skills
        minutes = price[visit, day] if able else np.inf
        into[depots + k] = PER_MIN * minutes if np.isfinite(minutes) else NEVER
    costs = drive + into.astype(np.int64)[None, :]
    np.fill_diagonal(costs, 0)
    return costs


def _client(problem, visit, location):
    first, last = half_day(problem, visit)
    wanted = problem.visits[visit]
    return Client(
        location=location,
        service_duration=int(PER_MIN * wanted.service_min),
        tw_early=int(PER_MIN * first),
        tw_late=int(PER_MIN * last),
        prize=int(PER_MIN * wanted.unplaced_min),
        required=False,
    )


def _vehicle(problem, index, places, kinds):
    workday = problem.workdays[index]
    depot = places.index(workday.start_place)
    return VehicleType(
        num_available=1,
        start_depot=depot,
        end_depot=depot,
        tw_early=int(PER_MIN * workday.start_min),
        tw_late=int(PER_MIN * workday.end_min),
        profile=kinds.index((workday.day, bool(workday.skills))),
    )


def _weeks(problem: Problem, price: np.ndarray) -> list[int]:
    """Of each visit its week, -1 for none: cheapest day of the week, ten minutes' drive a visit."""
    from ortools.graph.python import min_cost_flow

    flow, count = min_cost_flow.SimpleMinCostFlow(), len(problem.visits)
    weeks = -(-problem.days // WORKDAYS_A_WEEK)
    source, sink = count + weeks, count + weeks + 1
    mean = float(np.mean([visit.service_min for visit in problem.visits])) + 10.0
    arcs: dict[int, tuple[int, int]] = {}
    for visit in range(count):
        flow.add_arc_with_capacity_and_unit_cost(source, visit, 1, 0)
        leave = int(problem.visits[visit].unplaced_min)
        flow.add_arc_with_capacity_and_unit_cost(visit, sink, 1, leave)
        for week in range(weeks):
            least = price[visit, week * WORKDAYS_A_WEEK : (week + 1) * WORKDAYS_A_WEEK].min()
            if np.isfinite(least):
                arc = flow.add_arc_with_capacity_and_unit_cost(visit, count + week, 1, int(least))
                arcs[arc] = (visit, week)
    for week in range(weeks):
        days = [w for w in problem.workdays if w.day // WORKDAYS_A_WEEK == week]
        room = int(sum(w.end_min - w.start_min for w in days) / mean)
        flow.add_arc_with_capacity_and_unit_cost(count + week, sink, room, 0)
    flow.set_node_supply(source, count)
    flow.set_node_supply(sink, -count)
    flow.solve()
    found = [-1] * count
    for arc, (visit, week) in arcs.items():
        if flow.flow(arc):
            found[visit] = week
    return found
