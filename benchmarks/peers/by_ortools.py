"""OR-Tools 9.15 routing: a vehicle for each workday, a matrix of costs for each day."""

from __future__ import annotations

import numpy as np
from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from benchmarks.peers import Routes, day_price, table_of
from scheduling.planner import Problem

DAY_MIN, PER_MIN, NEVER = 1440, 10, 1_000_000


def solve(problem: Problem, seconds: float, seed: int) -> Routes:
    """Guided local search from a cheapest insertion; times run on over the days."""
    visits, workdays = problem.visits, problem.workdays
    count = len(visits)
    starts = [count + k for k in range(len(workdays))]
    manager = pywrapcp.RoutingIndexManager(count + len(workdays), len(workdays), starts, starts)
    routing = pywrapcp.RoutingModel(manager)
    places = [v.place for v in visits] + [w.start_place for w in workdays]
    drive = np.rint(table_of(problem)[np.ix_(places, places)] * PER_MIN).astype(np.int64)
    price = day_price(problem)
    for day, its in problem.workdays_by_day.items():
        into = np.concatenate([np.minimum(price[:, day] * PER_MIN, NEVER), np.zeros(len(workdays))])
        costs = routing.RegisterTransitMatrix((drive + into.astype(np.int64)[None, :]).tolist())
        for w in its:
            routing.SetArcCostEvaluatorOfVehicle(costs, w)
    service = [int(PER_MIN * v.service_min) for v in visits] + [0] * len(workdays)
    spent = routing.RegisterTransitMatrix((drive + np.array(service)[:, None]).tolist())
    horizon = PER_MIN * DAY_MIN * (problem.days + 1)
    routing.AddDimension(spent, PER_MIN * DAY_MIN, horizon, False, "time")
    time = routing.GetDimensionOrDie("time")
    for w, workday in enumerate(workdays):
        begin = PER_MIN * (workday.day * DAY_MIN)
        first, last = (
            begin + int(PER_MIN * workday.start_min),
            begin + int(PER_MIN * workday.end_min),
        )
        time.CumulVar(routing.Start(w)).SetRange(first, last)
        time.CumulVar(routing.End(w)).SetRange(first, last)
    for index, visit in enumerate(visits):
        node = manager.NodeToIndex(index)
        routing.AddDisjunction([node], int(PER_MIN * visit.unplaced_min))
        able = [w for w, day in enumerate(workdays) if visit.skills <= day.skills]
        suits = [w for w in able if np.isfinite(price[index, workdays[w].day])]
        routing.VehicleVar(node).SetValues([-1, *suits])
        _hours(problem, index, time.CumulVar(node))
    search = pywrapcp.DefaultRoutingSearchParameters()
    search.first_solution_strategy = (
        routing_enums_pb2.FirstSolutionStrategy.PARALLEL_CHEAPEST_INSERTION
    )
    search.local_search_metaheuristic = (
        routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    )
    search.time_limit.FromMilliseconds(int(1000 * seconds))
    answer = routing.SolveWithParameters(search)
    return {} if answer is None else _routes(manager, routing, answer, len(workdays))


def _hours(problem: Problem, index: int, start) -> None:
    """Outside the customer's hours no start: the stretches between the windows are taken out."""
    begin = 0
    for window in sorted(problem.visits[index].windows or (), key=lambda window: window.day):
        first = PER_MIN * (window.day * DAY_MIN + window.earliest_start_min)
        if first - 1 >= begin:
            start.RemoveInterval(int(begin), int(first) - 1)
        begin = PER_MIN * (window.day * DAY_MIN + min(window.latest_start_min, DAY_MIN - 1)) + 1
    if problem.visits[index].windows is not None:
        start.RemoveInterval(int(begin), PER_MIN * DAY_MIN * (problem.days + 1))


def _routes(manager, routing, answer, workdays: int) -> dict[int, list[int]]:
    routes: dict[int, list[int]] = {}
    for w in range(workdays):
        at = answer.Value(routing.NextVar(routing.Start(w)))
        while not routing.IsEnd(at):
            routes.setdefault(w, []).append(manager.IndexToNode(at))
            at = answer.Value(routing.NextVar(at))
    return routes
