"""Why a visit stands where it stands, or what keeps it out, in data and in words."""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from .problem import BIN_MIN, HALF_HOURS, Plan, Problem, Slot, Visit, Workday
from .rules import able
from .score import warmth_at, warmth_of

NO_WORKDAY, NO_SKILL, CUSTOMER_DAYS = "no_workday", "no_skill", "customer_days"
NOT_WARM, NO_ROOM = "not_warm", "no_room"

DayWords = Callable[[int], str]


@dataclass(frozen=True, slots=True)
class WhyHere:
    """A placed visit. `warmth` None: it needs none. `days_to_due`: negative when it is late."""

    warmth: float | None
    travel_added_min: float
    days_to_due: int | None


@dataclass(frozen=True, slots=True)
class WhyNot:
    """A visit left out: the first thing in its way. `best_day`, `best_warmth`: for NOT_WARM."""

    code: str
    words: str
    best_day: int | None = None
    best_warmth: float | None = None


def _day_number(day: int) -> str:
    return f"day {day}"


def why_here(problem: Problem, plan: Plan, visit: int) -> WhyHere:
    """Why the placed visit (by index) stands where it stands. ValueError when it has no slot."""
    slot = plan.slots[visit]
    if slot is None:
        raise ValueError(f"Visit {problem.visits[visit].key} has no slot; ask why_not.")
    return _why_here(problem, plan.by_workday()[slot.workday], slot)


def explain_all(
    problem: Problem, plan: Plan, day_words: DayWords = _day_number
) -> list[WhyHere | WhyNot]:
    """The reason of every visit, in the problem's order; the routes are read once."""
    routes = plan.by_workday()
    return [
        why_not(problem, plan, index, day_words)
        if slot is None
        else _why_here(problem, routes[slot.workday], slot)
        for index, slot in enumerate(plan.slots)
    ]


def _why_here(problem: Problem, route: list[Slot], slot: Slot) -> WhyHere:
    visit, workday = problem.visits[slot.visit], problem.workdays[slot.workday]
    stops = [problem.visits[stop.visit].place for stop in route]
    places = [workday.start_place, *stops, workday.end_place]
    at = route.index(slot) + 1
    before, here, after = places[at - 1 : at + 2]
    added_min = (
        problem.drive_min(before, here)
        + problem.drive_min(here, after)
        - problem.drive_min(before, after)
    )
    return WhyHere(
        warmth=None if visit.warmth_class is None else warmth_of(problem, slot),
        travel_added_min=added_min,
        days_to_due=None if visit.due_day is None else visit.due_day - workday.day,
    )


def why_not(problem: Problem, plan: Plan, visit: int, day_words: DayWords = _day_number) -> WhyNot:
    """The first of these that keeps the visit (by index) out: nobody works, nobody has the skill,
    no day suits the customer, none of those is warm enough, all of those are full."""
    wanted = problem.visits[visit]
    days = [w for w in problem.workdays if w.day >= wanted.due_from_day]
    if not days:
        return WhyNot(NO_WORKDAY, "No technician works on any day from its first day on.")
    skilled = [w for w in days if able(wanted, w)]
    if not skilled:
        skills = ", ".join(sorted(wanted.skills))
        return WhyNot(NO_SKILL, f"No technician on those days has the skill: {skills}.")
    suiting = [(w, starts) for w in skilled if (starts := _starts(problem, wanted, w))]
    if not suiting:
        return WhyNot(CUSTOMER_DAYS, "No working day suits the customer.")
    if wanted.warmth_class is not None:
        warmth, day = _warmest(problem, wanted, suiting)
        if warmth < problem.least_warmth:
            words = (
                f"No day that suits is warm enough: the best is {day_words(day)} with "
                f"{warmth:.0%}, and {problem.least_warmth:.0%} is wanted."
            )
            return WhyNot(NOT_WARM, words, day, warmth)
    return WhyNot(NO_ROOM, "Every day that suits is full; others cost less there.")


def _starts(problem: Problem, visit: Visit, workday: Workday) -> list[float]:
    """Half-hourly starts that customer and shift allow, driving aside."""
    latest = workday.end_min + workday.overtime_max_min - visit.service_min
    found = []
    for first, last in problem.windows_on(visit, workday.day):
        begin, end = max(first, workday.start_min), min(last, latest)
        if begin <= end:
            grid = range(ceil(begin / BIN_MIN), min(HALF_HOURS, int(end // BIN_MIN) + 1))
            found += [begin, *(BIN_MIN * half_hour for half_hour in grid)]
    return found


def _warmest(
    problem: Problem, visit: Visit, suiting: list[tuple[Workday, list[float]]]
) -> tuple[float, int]:
    return max(
        (warmth_at(problem, visit, workday.day, start), workday.day)
        for workday, starts in suiting
        for start in starts
    )
