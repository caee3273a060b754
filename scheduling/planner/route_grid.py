"""A season on a grid of time, for `route_bound.py`: its drives, starts, prices and best routes."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from .inner.pricing import KEPT, Days, Ways, follow_back, near_of, price_routes
from .inner.tables import QUARTER_MIN, Floats, Ints, Tables
from .problem import Problem
from .remembered import net_of

STEP_MIN = 5.0
ROUTES_A_DAY = 4
MOST_STOPS = 64
ROUNDING_STEPS = 1e-6
ROUNDING_MIN = 1e-6


@dataclass(frozen=True, slots=True)
class Route:
    """`gain_min`: the cost less what its stops (visits by index) are worth."""

    gain_min: float
    cost_min: float
    stops: list[int]


@dataclass(frozen=True, slots=True)
class Desk:
    """Where one thread works: scratch only."""

    ways: Ways
    number: Ints

    @staticmethod
    def of(rows: int, n: int) -> "Desk":
        labels, starts = (rows, n, KEPT), rows * n * KEPT
        ways = Ways(
            np.empty((rows, n), np.int32), np.empty(labels), np.empty(labels, np.uint64),
            np.empty(labels, np.int32), np.empty(labels), np.empty(starts, np.int32),
            np.empty(starts, np.int32), np.empty(n), np.empty(n, np.int32),
        )  # fmt: skip
        return Desk(ways, np.full(n, -1, np.int32))


class Grid:
    """Everything that the prices of visits do not change."""

    def __init__(self, problem: Problem, tables: Tables) -> None:
        self.tables = tables
        n, places = tables.visits, tables.place[: tables.visits]
        table = np.array([problem.drives_from(int(place)) for place in places], np.float64)
        self.between = np.ascontiguousarray(table[:, places])
        self.far_from_self = self.between + np.diag(np.full(n, np.inf))
        self.order = np.argsort(self.far_from_self, axis=1)[:, : n - 1].astype(np.int32)
        on = _steps(tables.service[:, None] + self.between)
        self.net = net_of(on, self.between, self.order)
        self.first = int(tables.start.min() // STEP_MIN)
        ends = tables.end + QUARTER_MIN * tables.overtime
        self.by_menu = _by_menu(tables, self.first, int(_steps(ends).max()) + 1)
        its = [self._day(problem, w, int(_steps(ends[w]))) for w in range(tables.workdays)]
        self.days = Days(*(np.array(part) for part in zip(*its, strict=True)))
        self.cheapest = self.days.price.min(axis=2)
        self.straight = self._is_straight()

    def desk(self) -> Desk:
        """A new one."""
        return Desk.of(self.by_menu.shape[1] + 1, self.tables.visits)

    def best_routes(self, desk: Desk, workday: int, worth: Floats, near: int) -> Iterator[Route]:
        """Routes of a workday that gain, with different last visits, best first. `near`: to how
        many visits a route may go on from each, those that cost least beside their worth."""
        some = self._worth_a_look(workday, worth)
        onward = np.empty((len(some), max(1, min(near, len(some) - 1))), np.int32)
        order = self.order if near >= len(some) - 1 else self._best_next(workday, worth, near)
        near_of(order, some, desk.number, onward)
        price_routes(self.net, self.days, workday, some, onward, worth, desk.ways)
        whole, route = desk.ways.whole, np.zeros(MOST_STOPS, np.int32)
        for last in np.argsort(whole)[:ROUTES_A_DAY]:
            gain_min = float(whole[last])
            if gain_min >= 0:
                return
            length = follow_back(desk.ways, desk.ways.whole_come[last], route)
            stops = route[:length][::-1].tolist()
            yield Route(gain_min, gain_min + float(worth[stops].sum()), stops)

    def _best_next(self, workday: int, worth: Floats, near: int) -> Ints:
        """[n, near]: from each visit the others by the drive there less what they are worth."""
        costs = self.far_from_self + (self.cheapest[workday] - worth)
        order: Ints = np.argpartition(costs, near, axis=1)[:, :near].astype(np.int32)
        return order

    def _worth_a_look(self, workday: int, worth: Floats) -> Ints:
        """Visits that may be worth more than they cost at the least on that day. Where no detour
        is a short cut, a route that comes to no home twice is never worse without the others."""
        least = self.cheapest[workday] if self.straight else np.full(len(worth), -np.inf)
        allowed = self.days.last[workday] >= 0
        return np.flatnonzero(allowed & (worth > least)).astype(np.int32)

    def cost(self, workday: int, stops: list[int], starts: list[int]) -> float:
        """What a known route costs by the same count."""
        driven = self.days.out_min[workday, stops[0]] + self.between[stops[:-1], stops[1:]].sum()
        priced = self.prices(workday, stops, starts).sum()
        return float(driven + self.days.back_min[workday, stops[-1]] + priced)

    def prices(self, workday: int, stops: list[int], starts: list[int]) -> Floats:
        """Of starting each of these visits at its step."""
        found: Floats = self.days.price[workday, stops, np.array(starts) - self.first]
        return found

    def _prices(self, workday: int, end: int, leave: Ints) -> Floats:
        """[n, T]: of starting each visit at each step, with what it costs on that day at all."""
        t, day = self.tables, self.tables.day[workday]
        standing = t.late_day * np.maximum(0, day - t.due_day) + t.group_price[t.group, day]
        others = (t.wished >= 0) & (t.wished != t.technician[workday])
        standing = standing + t.other_technician * others
        allowed = (t.menu_on[:, day] >= 0) & t.able[t.skill_set, workday]
        found: Floats = np.where(
            allowed[:, None], self.by_menu[t.menu_on[:, day]] + standing[:, None], np.inf
        )
        at = self.first + np.arange(found.shape[1])
        too_late = at + leave[:, None] > end
        found[too_late | (at < int(t.start[workday] // STEP_MIN))] = np.inf
        return found

    def _day(self, problem: Problem, workday: int, end: int) -> tuple[Floats | Ints, ...]:
        t, n = self.tables, self.tables.visits
        start, home = int(t.place[n + workday]), int(t.place[n + t.workdays + workday])
        out = np.asarray(problem.drives_from(start), np.float64)[t.place[:n]]
        back = np.array([problem.drive_min(int(place), home) for place in t.place[:n]])
        price = self._prices(workday, end, _steps(t.service + back))
        allowed = np.isfinite(price)
        last = price.shape[1] - 1 - np.argmax(allowed[:, ::-1], axis=1)
        last = np.where(allowed.any(axis=1), last, -1).astype(np.int32)
        arrive = (_steps(t.start[workday] + out) - self.first).astype(np.int32)
        return arrive, out, back, price, last

    def _is_straight(self) -> bool:
        """Whether leaving out any stop makes no drive longer and nobody later."""
        drives, most = self.between, ROUNDING_MIN
        if self.tables.service.min(initial=np.inf) < 2 * STEP_MIN:
            return False  # two drives rounded down may be a step shorter than one
        over = (drives[:, [k]] + drives[k] for k in range(len(drives)))
        if not all((drives <= detour + most).all() for detour in over):
            return False
        return all(
            (out <= out[:, None] + drives + most).all()
            and (back[:, None] <= drives + back + most).all()
            for out, back in zip(self.days.out_min, self.days.back_min, strict=True)
        )


def _by_menu(tables: Tables, first: int, horizon: int) -> Floats:
    """[M + 1, T]: the least price of a start in each step; the last row is no menu at all."""
    menus = len(tables.menu_price)
    begins = STEP_MIN * np.arange(first, horizon)
    found = np.full((menus + 1, len(begins)), np.inf)
    for menu in range(menus):
        for s in range(tables.menu_first[menu], tables.menu_first[menu + 1]):
            within = (begins + STEP_MIN > tables.stretch_from[s]) & (begins <= tables.stretch_to[s])
            found[menu, within] = np.minimum(found[menu, within], tables.stretch_price[s])
    return found


def _steps(minutes: Floats) -> Ints:
    steps: Ints = np.floor(minutes / STEP_MIN + ROUNDING_STEPS).astype(np.int32)
    return steps
