"""Menus of starts: for one visit on one day, the stretches in which it may start and their price.

All that decides when work may begin (customer's windows, due window, least warmth, a kept slot) and
what the start costs (warmth, leaving a kept slot) becomes a short sorted list of stretches with one
price each. The compiled search knows nothing else about starts, so a rule is written once, here.
"""

from dataclasses import dataclass
from itertools import pairwise

from .problem import BIN_MIN, HALF_HOURS, Problem, Visit, Workday
from .rules import may_start
from .score import is_kept_at, warmth_at

EDGE_MIN = 1e-6
"""A stretch that does not include its border stops this far before it."""

Stretch = tuple[float, float, float]
"""First start, last start, price in minutes."""


@dataclass(frozen=True, slots=True)
class Menu:
    """The stretches in order; empty when the visit cannot be started that day."""

    stretches: tuple[Stretch, ...]

    @property
    def least_price(self) -> float:
        return min(price for _, _, price in self.stretches)


def start_price(problem: Problem, visit: Visit, workday: Workday, start_min: float) -> float | None:
    """Price of starting then, in minutes, against the same visit warm and moved; None: not allowed.

    Keeping a kept slot is a discount of `move_min` here, because the search adds the move price of
    every kept visit to the total once, whatever it does.
    """
    if not may_start(problem, visit, workday, start_min):
        return None
    cold = 1 - warmth_at(problem, visit, workday.day, start_min)
    price = problem.prices.cold_trip_min * cold
    kept = visit.kept is not None and is_kept_at(problem, visit.kept, workday.day, start_min)
    return price - visit.move_min if kept else price


def menu_of(problem: Problem, visit: Visit, workday: Workday, first: float, last: float) -> Menu:
    """The menu for starts in [first, last]: prices change only at the borders collected here."""
    borders = sorted(
        b for b in _borders(problem, visit, workday) | {first, last} if first <= b <= last
    )
    stretches: list[Stretch] = []
    for begin, end in pairwise(borders):
        _append(stretches, _between(problem, visit, workday, begin, end))
    for point in borders:
        price = start_price(problem, visit, workday, point)
        if price is not None and not any(a <= point <= b for a, b, _ in stretches):
            stretches.append((point, point, price))
    return Menu(tuple(sorted(stretches)))


def _borders(problem: Problem, visit: Visit, workday: Workday) -> set[float]:
    found = {end for window in problem.windows_on(visit, workday.day) for end in window}
    if visit.warmth_class is not None:
        found |= {BIN_MIN * half_hour for half_hour in range(HALF_HOURS + 1)}
    if visit.kept is not None and problem.workdays[visit.kept.workday].day == workday.day:
        kept, within = visit.kept.start_min, problem.prices.kept_within_min
        found |= {kept - within, kept, kept + within}
    return found


def _between(
    problem: Problem, visit: Visit, workday: Workday, begin: float, end: float
) -> Stretch | None:
    """The stretch between two borders, each of them included only if it has the same price."""
    price = start_price(problem, visit, workday, (begin + end) / 2)
    if price is None:
        return None
    first = begin if start_price(problem, visit, workday, begin) == price else begin + EDGE_MIN
    last = end if start_price(problem, visit, workday, end) == price else end - EDGE_MIN
    return first, last, price


def _append(stretches: list[Stretch], stretch: Stretch | None) -> None:
    """Adds a stretch, joining it to the one before when the price goes on unchanged."""
    if stretch is None:
        return
    first, last, price = stretch
    if stretches and stretches[-1][2] == price and first - stretches[-1][1] <= 2 * EDGE_MIN:
        stretches[-1] = (stretches[-1][0], last, price)
    else:
        stretches.append(stretch)
