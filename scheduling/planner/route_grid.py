"""A season on a grid of time, for `route_bound.py`: its drives, starts, prices and best routes."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from .inner.pricing import Legs, Ways, follow_back, price_routes
from .inner.tables import QUARTER_MIN, Floats, Ints, Tables
from .problem import Problem

STEP_MIN = 5.0
ROUTES_A_DAY = 4
MOST_STOPS = 64
ROUNDING_STEPS = 1e-6


@dataclass(frozen=True, slots=True)
class Route:
    """`gain_min`: the cost less what its stops (visits by index) are worth."""

    gain_min: float
    cost_min: float
    stops: list[int]


class Grid:
    """`near`: how many homes a route may go on to from each, the nearest ones."""

    def __init__(self, problem: Problem, tables: Tables, near: int) -> None:
        self.tables = tables
        n, places = tables.visits, tables.place[: tables.visits]
        table = np.array([problem.drives_from(int(place)) for place in places], np.float64)
        self.between = np.ascontiguousarray(table[:, places])
        self.on = _steps(tables.service[:, None] + self.between)
        far_from_self = self.between + np.diag(np.full(n, np.inf))
        others = np.argsort(far_from_self, axis=1)[:, : min(near, n - 1)]
        self.near = np.ascontiguousarray(others, np.int32)
        ends = tables.end + QUARTER_MIN * tables.overtime
        self.end = _steps(ends)
        self.by_menu = _by_menu(tables, int(self.end.max()) + 1)
        shape = 2, self.by_menu.shape[1], n
        self.ways = Ways(
            np.empty(shape), np.empty(shape, np.int32), np.empty(shape, np.int32),
            np.empty((n, 2)), np.empty((n, 2), np.int32), np.empty(n), np.empty(n, np.int32),
        )  # fmt: skip
        self.legs = [self._legs(problem, workday) for workday in range(tables.workdays)]

    def best_routes(self, workday: int, worth: Floats) -> Iterator[Route]:
        """Routes of a workday that gain, with different last visits, best first."""
        ways, route = self.ways, np.zeros(MOST_STOPS, np.int32)
        price_routes(self.legs[workday], int(self.end[workday]), self.prices(workday), worth, ways)
        for last in np.argsort(ways.whole)[:ROUTES_A_DAY]:
            gain_min = float(ways.whole[last])
            if gain_min >= 0:
                return
            length = follow_back(ways, last, ways.whole_at[last], route)
            stops = route[:length][::-1].tolist()
            yield Route(gain_min, gain_min + float(worth[stops].sum()), stops)

    def cost(self, workday: int, stops: list[int], starts: list[int]) -> float:
        """What a known route costs by the same count."""
        legs = self.legs[workday]
        driven = legs.out_min[stops[0]] + self.between[stops[:-1], stops[1:]].sum()
        priced = self.prices(workday)[stops, starts].sum()
        return float(driven + legs.back_min[stops[-1]] + priced)

    def prices(self, workday: int) -> Floats:
        """[n, T]: of starting each visit at each step, with what it costs on that day at all."""
        t, day = self.tables, self.tables.day[workday]
        standing = t.late_day * np.maximum(0, day - t.due_day) + t.group_price[t.group, day]
        others = (t.wished >= 0) & (t.wished != t.technician[workday])
        standing = standing + t.other_technician * others
        allowed = (t.menu_on[:, day] >= 0) & t.able[t.skill_set, workday]
        found: Floats = np.where(
            allowed[:, None], self.by_menu[t.menu_on[:, day]] + standing[:, None], np.inf
        )
        found[:, : int(t.start[workday] // STEP_MIN)] = np.inf
        return found

    def _legs(self, problem: Problem, workday: int) -> Legs:
        t, n = self.tables, self.tables.visits
        start, end = int(t.place[n + workday]), int(t.place[n + t.workdays + workday])
        out = np.asarray(problem.drives_from(start), np.float64)[t.place[:n]]
        back = np.array([problem.drive_min(int(place), end) for place in t.place[:n]])
        arrive, leave = _steps(t.start[workday] + out), _steps(t.service + back)
        return Legs(arrive, out, self.on, self.between, self.near, leave, back)


def _by_menu(tables: Tables, horizon: int) -> Floats:
    """[M + 1, T]: the least price of a start in each step; the last row is no menu at all."""
    menus = len(tables.menu_price)
    found = np.full((menus + 1, horizon), np.inf)
    begins = STEP_MIN * np.arange(horizon)
    for menu in range(menus):
        for s in range(tables.menu_first[menu], tables.menu_first[menu + 1]):
            within = (begins + STEP_MIN > tables.stretch_from[s]) & (begins <= tables.stretch_to[s])
            found[menu, within] = np.minimum(found[menu, within], tables.stretch_price[s])
    return found


def _steps(minutes: Floats) -> Ints:
    steps: Ints = np.floor(minutes / STEP_MIN + ROUNDING_STEPS).astype(np.int32)
    return steps
