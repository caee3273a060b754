"""The hard rules: what no plan may break whatever it would save, in plain readable code."""

from collections.abc import Iterator

from .course import CLOSE_MIN, boundaries, lunch_fits
from .problem import Plan, Problem, Slot, Visit, Workday
from .score import is_kept_at, warmth_at

CLOSE_LOAD = 1e-6
"""Rounding left over from adding loads."""
__all__ = ["CLOSE_MIN", "able", "broken_rules", "clashes", "fixed_slots", "lunch_fits", "may_start"]


def may_start(problem: Problem, visit: Visit, workday: Workday, start_min: float) -> bool:
    """Whether customer, due window and warmth let the work start then (skills apart).

    A kept slot has been agreed, so it may always be kept.
    """
    kept = visit.kept
    if visit.fixed:
        same = kept is not None and problem.workdays[kept.workday] is workday
        return same and kept is not None and start_min == kept.start_min
    if kept is not None and is_kept_at(problem, kept, workday.day, start_min):
        return True
    if workday.day < visit.due_from_day:
        return False
    if visit.warmth_class is not None:
        warmth = warmth_at(problem, visit, workday.day, start_min)
        if warmth < problem.least_warmth:
            return False
    return any(a <= start_min <= b for a, b in problem.windows_on(visit, workday.day))


def able(visit: Visit, workday: Workday) -> bool:
    """Whether the technician has every skill the visit needs."""
    return visit.skills <= workday.skills


def broken_rules(problem: Problem, plan: Plan) -> list[str]:
    """A sentence for each hard rule that `plan` breaks; an empty list for a sound plan."""
    if len(plan.slots) != len(problem.visits):
        return [f"The plan has {len(plan.slots)} entries for {len(problem.visits)} visits."]
    broken = list(_broken_entries(problem, plan))
    if not broken:
        for index, slots in plan.by_workday().items():
            broken += _broken_drive(problem, problem.workdays[index], slots)
        broken += _broken_pairs(problem, plan)
    return broken


def fixed_slots(problem: Problem) -> Plan:
    """The plan that holds the fixed visits and nothing else."""
    return Plan(tuple(_fixed(i, visit) for i, visit in enumerate(problem.visits)))


def clashes(problem: Problem) -> dict[int, list[str]]:
    """Workday -> why its fixed visits cannot all be kept on time.

    The planner leaves such a day as it is and adds nothing to it; the office has to decide.
    """
    found: dict[int, list[str]] = {}
    for index, slots in fixed_slots(problem).by_workday().items():
        broken = list(_broken_drive(problem, problem.workdays[index], slots))
        if broken:
            found[index] = broken
    return found


def _fixed(index: int, visit: Visit) -> Slot | None:
    kept = visit.kept if visit.fixed else None
    return None if kept is None else Slot(index, kept.workday, kept.start_min)


def _broken_entries(problem: Problem, plan: Plan) -> Iterator[str]:
    for index, (visit, slot) in enumerate(zip(problem.visits, plan.slots, strict=True)):
        if slot is None:
            if visit.fixed:
                yield f"Visit {visit.key} is fixed but was left out."
        elif slot.visit != index or not 0 <= slot.workday < len(problem.workdays):
            yield f"The slot of visit {visit.key} names another visit or no workday."
        else:
            yield from _broken_slot(problem, visit, slot)


def _broken_slot(problem: Problem, visit: Visit, slot: Slot) -> Iterator[str]:
    workday = problem.workdays[slot.workday]
    name = f"Visit {visit.key} on workday {workday.key}"
    if not visit.fixed and not able(visit, workday):
        yield f"{name}: technician {workday.technician} lacks a skill it needs."
    if not may_start(problem, visit, workday, slot.start_min):
        yield f"{name} may not start at {slot.start_min:.1f} min."


def _broken_drive(problem: Problem, workday: Workday, slots: list[Slot]) -> Iterator[str]:
    """Follows the technician from stop to stop, lunch taken at the first boundary that takes it."""
    course = boundaries(problem, workday, slots)
    for position, (ready, drive, due) in enumerate(course):
        if ready + drive > due + CLOSE_MIN:
            where = problem.visits[slots[position].visit].key if position < len(slots) else "home"
            yield f"Workday {workday.key}: {where} is reached {ready + drive - due:.1f} min late."
    if workday.lunch is not None and not lunch_fits(workday.lunch, course):
        yield f"Workday {workday.key} leaves no room for lunch."
    load = sum(problem.visits[slot.visit].load for slot in slots)
    if workday.room is not None and load > workday.room + CLOSE_LOAD:
        yield f"Workday {workday.key}: the truck holds {workday.room}, not {load}."


def _broken_pairs(problem: Problem, plan: Plan) -> Iterator[str]:
    for one, other in problem.together:
        a, b = plan.slots[one], plan.slots[other]
        if (a is None) != (b is None) or (a and b and not _at_once(problem, a, b)):
            names = f"{problem.visits[one].key} and {problem.visits[other].key}"
            yield f"Visits {names} need two technicians at the same time."


def _at_once(problem: Problem, a: Slot, b: Slot) -> bool:
    one, other = problem.workdays[a.workday], problem.workdays[b.workday]
    same_time = one.day == other.day and abs(a.start_min - b.start_min) <= CLOSE_MIN
    return same_time and one.technician != other.technician
