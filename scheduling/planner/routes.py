"""Plans as routes of the inner loop, and routes as plans."""

import numpy as np

from .inner.anneal import refresh_all
from .inner.loading import link, load_route
from .inner.starts import read_starts
from .inner.tables import Ints, State, Tables, new_state
from .problem import Plan, Problem, Slot
from .rules import fixed_slots


def load(tables: Tables, problem: Problem, plan: Plan, seed: int) -> State:
    """The plan as routes. Fixed visits stand where they are fixed; what has no room is left out."""
    state = new_state(tables, seed)
    refresh_all(tables, state)
    fixed = fixed_slots(problem).slots
    entries = [
        pinned if visit.fixed else slot
        for visit, pinned, slot in zip(problem.visits, fixed, plan.slots, strict=True)
    ]
    for workday, slots in Plan(tuple(entries)).by_workday().items():
        load_route(tables, state, workday, np.array([s.visit for s in slots], np.int32))
    refresh_all(tables, state)
    return state


def plan_of(tables: Tables, problem: Problem, after: Ints, on: Ints) -> Plan:
    """Routes as a plan, with the best start of every stop."""
    exact = tables._replace(epsilon=0.0)
    state = new_state(exact, 0)
    link(exact, state, after, on)
    refresh_all(exact, state)
    starts = np.zeros(len(problem.visits))
    for workday in range(len(problem.workdays)):
        if not tables.closed[workday]:
            read_starts(exact, state, workday, starts)
    return Plan(tuple(_slot(problem, tables, v, on, starts) for v in range(len(problem.visits))))


def _slot(
    problem: Problem, tables: Tables, visit: int, on: Ints, starts: np.typing.NDArray[np.float64]
) -> Slot | None:
    if on[visit] < 0:
        return None
    kept = problem.visits[visit].kept
    if problem.visits[visit].fixed and kept is not None:
        return Slot(visit, kept.workday, kept.start_min)
    return Slot(visit, int(on[visit]), float(starts[visit]))
