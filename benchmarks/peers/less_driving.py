"""Our plan with days left free, for a comparison in which nobody drives more in all."""

from __future__ import annotations

from scheduling.planner import Plan, Problem, score
from scheduling.planner.course import boundaries


def with_days_free(problem: Problem, ours: Plan, most_travel_min: float) -> Plan:
    """Without the days of most driving a visit, so many that the rest is no more in all."""
    days = ours.by_workday()
    drives = {
        workday: sum(hop[1] for hop in boundaries(problem, problem.workdays[workday], slots))
        for workday, slots in days.items()
    }
    left_min = score(problem, ours).travel_min
    slots = list(ours.slots)
    for workday in sorted(days, key=lambda w: drives[w] / len(days[w]), reverse=True):
        if left_min <= most_travel_min:
            break
        left_min -= drives[workday]
        for slot in days[workday]:
            slots[slot.visit] = None
    return Plan(tuple(slots))
