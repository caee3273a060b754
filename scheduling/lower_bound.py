"""How few cold trips any plan of this size can have, with what stands in the season. Pure."""

from __future__ import annotations

from dataclasses import replace

from scheduling import planner
from scheduling.planner.bound import fewest_cold_trips
from scheduling.planner.rules import able, may_start
from scheduling.planner.score import warmth_of

SECONDS = 20.0


def fewest_cold(
    problem: planner.Problem, plan: planner.Plan, seconds: float = SECONDS
) -> float | None:
    """No plan that places as many visits has fewer expected cold trips. None: not found in time.

    What is promised stays, so its own risk is counted as it is. A pencilled slot that the rules
    would allow anyway is no exception, so it is forgotten; a visit in a slot that they would not
    allow is left out of the count, which can only lower the bound.
    """
    promised, free, kept_cold = 0, [], 0.0
    for visit, slot in zip(problem.visits, plan.slots, strict=True):
        if visit.fixed and slot is not None:
            promised += 1
            kept_cold += 1.0 - warmth_of(problem, slot)
        elif visit.kept is None or _is_allowed(problem, visit, visit.kept):
            free.append(replace(visit, kept=None, move_min=0.0))
        else:
            promised += slot is not None
    placed = sum(slot is not None for slot in plan.slots) - promised
    rest = replace(problem, visits=tuple(free))
    found = fewest_cold_trips(rest, min(placed, len(free)), seconds)
    return None if found is None else found + kept_cold


def _is_allowed(problem: planner.Problem, visit: planner.Visit, kept: planner.KeptSlot) -> bool:
    """Whether a visit without a slot could be given this one, and what still counts as keeping."""
    workday, shift = problem.workdays[kept.workday], problem.prices.kept_within_min
    anew = replace(visit, kept=None)
    starts = (kept.start_min - shift, kept.start_min, kept.start_min + shift)
    return able(visit, workday) and all(may_start(problem, anew, workday, at) for at in starts)
