"""What if? The planner's answers on changed problems: more sold, a later start, one more driver.

Each answer is a plan; a question is settled in a few of them by halving. Pure.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random

import numpy as np

from books.capacity.springs import ranks
from scheduling import planner

Search = Callable[[planner.Problem], planner.Plan]
"""Makes one plan. Raises to stop everything."""

CERTAINTIES = (0.5, 0.8, 0.95)
# So many of those added may stay without a slot and the rest still counts as fitting: a search
# that stops early leaves some out (choice of this project).
LEFT_OUT = 0.02
HALVINGS = 3
NEW = "one more"
START_MIN = 30.0  # of one start of the warmth table


@dataclass(frozen=True, slots=True)
class Tested:
    """Of the placed checks that need warmth, how many are warm at their time, at least."""

    placed: int
    at_least: tuple[tuple[float, int], ...]  # certainty, visits


@dataclass(frozen=True, slots=True)
class Answers:
    """`more`: how many more can be sold; `most_tried`: it may be more still. `start_day`: the last
    day (from 0) on which to begin; None: asked too late, or even the first is too late.
    `with_one`: how many more with one more technician. `unplaced`: of those owed now."""

    visits: int
    unplaced: int
    now: Tested
    more: int
    more_is_least: bool
    with_one: int
    with_one_is_least: bool
    start_day: int | None
    start_asked: bool


def plans_needed(start_asked: bool) -> int:
    """How many plans the questions take at most, for the progress bar."""
    return 1 + 2 * (1 + HALVINGS) + 1 + (HALVINGS + 1 if start_asked else 0)


def answer(
    problem: planner.Problem, search: Search, *, guess: int, ask_start: bool, seed: int = 1
) -> Answers:
    """Ask everything. `guess`: how many more about fit, from where the halving begins.

    `ask_start`: only while nothing of the season is promised yet.
    """
    base = search(problem)
    unplaced = _unplaced(base)
    most = max(guess, len(problem.visits) // 10, 4)
    more, is_least = _how_many_more(problem, search, unplaced, most, seed)
    with_one = with_technician(problem)
    left = _unplaced(search(with_one))
    cleared = unplaced - left
    fits, fits_least = _how_many_more(with_one, search, left, max(most, 2 * more), seed)
    start = _latest_start(problem, search, unplaced) if ask_start else None
    return Answers(
        visits=len(problem.visits),
        unplaced=unplaced,
        now=warm_in_springs(problem, base),
        more=more,
        more_is_least=is_least,
        with_one=cleared + fits,
        with_one_is_least=fits_least,
        start_day=start,
        start_asked=ask_start,
    )


def with_more_visits(problem: planner.Problem, number: int, seed: int = 1) -> planner.Problem:
    """As if so many more agreements were sold, at homes like those that are owed a check."""
    if not problem.visits:
        return problem
    chance = Random(seed)  # noqa: S311  (repeatable, not secret)
    warm = [visit for visit in problem.visits if visit.warmth_class is not None]
    alike = chance.choices(warm or list(problem.visits), k=number)
    added = tuple(
        replace(visit, key=f"more-{n}", kept=None, fixed=False, move_min=0.0)
        for n, visit in enumerate(alike)
    )
    return replace(problem, visits=(*problem.visits, *added))


def with_technician(problem: planner.Problem) -> planner.Problem:
    """As if one more technician drove, with the days of the one who works most."""
    days: dict[int | str, list[planner.Workday]] = {}
    for workday in problem.workdays:
        days.setdefault(workday.technician, []).append(workday)
    if not days:
        return problem
    alike = max(days.values(), key=len)
    added = tuple(replace(day, key=f"{NEW}, {day.key}", technician=NEW) for day in alike)
    return replace(problem, workdays=(*problem.workdays, *added))


def starting_on(problem: planner.Problem, day: int) -> planner.Problem:
    """As if nobody drove before `day`; nothing is promised or pencilled."""
    visits = tuple(replace(v, kept=None, fixed=False, move_min=0.0) for v in problem.visits)
    workdays = tuple(workday for workday in problem.workdays if workday.day >= day)
    return replace(problem, visits=visits, workdays=workdays)


def warm_in_springs(
    problem: planner.Problem, plan: planner.Plan, springs: int = 400, seed: int = 1
) -> Tested:
    """In drawn springs: of the placed checks, how many are warm at the time they stand at."""
    placed = [slot for slot in plan.slots if slot and _class(problem, slot) is not None]
    if not placed:
        return Tested(0, tuple((certainty, 0) for certainty in CERTAINTIES))
    days = [problem.workdays[slot.workday].day for slot in placed]
    chances = np.array(
        [
            problem.warmth[_class(problem, slot), day, int(slot.start_min // START_MIN)]
            for slot, day in zip(placed, days, strict=True)
        ]
    )
    u = ranks(problem.days, springs, seed)[:, days]
    warm = (u > 1.0 - chances).sum(axis=1)
    at_least = tuple((c, int(np.quantile(warm, 1.0 - c))) for c in CERTAINTIES)
    return Tested(len(placed), at_least)


def _class(problem: planner.Problem, slot: planner.Slot) -> int | None:
    return problem.visits[slot.visit].warmth_class


def _unplaced(plan: planner.Plan) -> int:
    return sum(slot is None for slot in plan.slots)


def _how_many_more(
    problem: planner.Problem, search: Search, unplaced: int, most: int, seed: int
) -> tuple[int, bool]:
    """The largest number that fits beside what is owed; True: `most` fitted, perhaps more do."""

    def all_fit(number: int) -> bool:
        plan = search(with_more_visits(problem, number, seed))
        return _unplaced(plan) - unplaced <= LEFT_OUT * number

    if not problem.visits or unplaced > LEFT_OUT * len(problem.visits):
        return 0, False
    if all_fit(most):
        return most, True
    return _largest(all_fit, 0, most), False


def _latest_start(problem: planner.Problem, search: Search, unplaced: int) -> int | None:
    """The last day on which to begin and place as many as from the first day on."""
    allowed = unplaced + LEFT_OUT * len(problem.visits)

    def as_many(day: int) -> bool:
        return _unplaced(search(starting_on(problem, day))) <= allowed

    day = _largest(as_many, 0, problem.days)
    return day if day or as_many(0) else None


def _largest(holds: Callable[[int], bool], good: int, bad: int) -> int:
    """By a few halvings, the largest number known to hold between one that does and one that
    does not."""
    for _ in range(HALVINGS):
        if bad - good <= 1:
            break
        middle = (good + bad) // 2
        if holds(middle):
            good = middle
        else:
            bad = middle
    return good
