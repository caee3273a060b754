"""The plan that a search begins with."""

from .inner.anneal import keep_best, refresh_all
from .inner.nearest import fill_by_nearest
from .inner.tables import State, Tables
from .problem import Plan, Problem, Slot
from .routes import load


def starting_state(tables: Tables, problem: Problem, start: Plan | None, seed: int) -> State:
    """Routes to begin with: `start`, or else the kept slots; nearest neighbours fill the rest."""
    state = load(tables, problem, start or kept_slots(problem), seed)
    if problem.visits and problem.workdays:
        fill_by_nearest(tables, state)
    refresh_all(tables, state)
    keep_best(state)
    return state


def kept_slots(problem: Problem) -> Plan:
    """Every visit in the slot it already has; None where it has none."""
    slots = []
    for index, visit in enumerate(problem.visits):
        kept = visit.kept
        slots.append(None if kept is None else Slot(index, kept.workday, kept.start_min))
    return Plan(tuple(slots))
