"""Two technicians at one home: pairs of visits that start at the same time.

The search moves one visit at a time and cannot keep two at one time, so pairs are placed before it,
each where both together cost least between what is fixed or kept, and stay there.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from .hand import DayBook
from .menus import start_price
from .problem import BIN_MIN, KeptSlot, Problem, Slot, Visit, Workday
from .rules import able


def with_pairs_placed(problem: Problem) -> Problem:
    """The problem with each pair fixed where it stands best, or without any time that suits it."""
    if not problem.together:
        return problem
    visits = list(problem.visits)
    for index in _free_members(problem):
        visits[index] = replace(visits[index], kept=None)
    book = DayBook(replace(problem, visits=tuple(visits)))
    for pair in problem.together:
        if any(problem.visits[index].fixed for index in pair):
            continue
        slots = _cheapest(book, *pair)
        for index in pair:
            visits[index] = replace(visits[index], kept=None, windows=())
        for slot in slots:
            book.put(slot)
            kept = KeptSlot(slot.workday, slot.start_min)
            visits[slot.visit] = replace(visits[slot.visit], kept=kept, fixed=True, move_min=0.0)
    return replace(problem, visits=tuple(visits))


def _free_members(problem: Problem) -> Iterator[int]:
    for pair in problem.together:
        if not any(problem.visits[index].fixed for index in pair):
            yield from pair


def _cheapest(book: DayBook, one: int, other: int) -> tuple[Slot, ...]:
    """The two slots at one time that cost least together; none where there is no such time."""
    best: tuple[Slot, ...] = ()
    least = book.problem.visits[one].unplaced_min + book.problem.visits[other].unplaced_min
    for workdays in book.problem.workdays_by_day.values():
        firsts = [found for w in workdays for found in _starts(book, one, w)]
        seconds = [found for w in workdays for found in _starts(book, other, w)]
        for price, slot in firsts:
            for more, partner in seconds:
                if price + more < least and _at_once(book.problem, slot, partner):
                    best, least = (slot, partner), price + more
    return best


def _at_once(problem: Problem, slot: Slot, partner: Slot) -> bool:
    one, other = problem.workdays[slot.workday], problem.workdays[partner.workday]
    return slot.start_min == partner.start_min and one.technician != other.technician


def _starts(book: DayBook, index: int, workday: int) -> Iterator[tuple[float, Slot]]:
    """Half-hourly starts that fit into a workday, with what each costs."""
    problem = book.problem
    visit, day = problem.visits[index], problem.workdays[workday]
    if not able(visit, day) or workday in book.closed:
        return
    start_min = -(-day.start_min // BIN_MIN) * BIN_MIN
    while start_min + visit.service_min <= day.end_min:
        slot = Slot(index, workday, start_min)
        price = _price(problem, visit, day, start_min)
        if price < inf and book.leaves_room(slot):
            yield price + book.detour_min(slot), slot
        start_min += BIN_MIN


def _price(problem: Problem, visit: Visit, workday: Workday, start_min: float) -> float:
    price = start_price(problem, visit, workday, start_min)
    if price is None:
        return inf
    late = 0 if visit.due_day is None else max(0, workday.day - visit.due_day)
    return price + problem.prices.late_day_min * late
