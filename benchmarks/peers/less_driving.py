"""Our plan with days left free, for a comparison in which nobody drives more in all."""

from __future__ import annotations

from itertools import pairwise

from scheduling.planner import Plan, Problem, Slot, score


def with_days_free(problem: Problem, ours: Plan, most_travel_min: float) -> Plan:
    """Without the days of most driving a visit, so many that the rest is no more in all."""
    days = ours.by_workday()
    drives = {workday: _drive_min(problem, workday, slots) for workday, slots in days.items()}
    left_min = score(problem, ours).travel_min
    slots = list(ours.slots)
    for workday in sorted(days, key=lambda w: drives[w] / len(days[w]), reverse=True):
        if left_min <= most_travel_min:
            break
        left_min -= drives[workday]
        for slot in days[workday]:
            slots[slot.visit] = None
    return Plan(tuple(slots))


def _drive_min(problem: Problem, workday: int, slots: list[Slot]) -> float:
    """From the start place over the stops to the end place."""
    day = problem.workdays[workday]
    stops = [problem.visits[slot.visit].place for slot in slots]
    places = [day.start_place, *stops, day.end_place]
    return sum(problem.drive_min(a, b) for a, b in pairwise(places))
