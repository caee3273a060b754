"""From a problem to the arrays of the inner loop."""

from collections.abc import Iterator
from dataclasses import astuple, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from .course import QUARTER_MIN, overtime_min
from .inner.near import find_near
from .inner.tables import GRACE_MIN, NEIGHBOURS, Ints, Tables
from .menus import Menu, menu_of
from .problem import BIN_MIN, HALF_HOURS, Problem, Visit, Workday
from .rules import CLOSE_LOAD, clashes, fixed_slots
from .score import off_area_day
from .travel import Roads, Travel

WORTH_WAITING_MIN = 0.25
"""The search lets a visit wait for warmth only if that saves this much; the final plan is exact."""
NEVER_DUE = 2**30


def tables_of(problem: Problem) -> Tables:
    """All arrays of a problem. Memory: the travel table, and 4 bytes per visit and day."""
    menus = _Menus(problem)
    skill_sets = sorted({visit.skills for visit in problem.visits}, key=sorted)
    clashing = set(clashes(problem))
    menu_on = menus.by_day()
    names = dict.fromkeys(workday.technician for workday in problem.workdays)
    technicians: dict[int | str | None, int] = {name: number for number, name in enumerate(names)}
    tables = Tables(
        **_visit_arrays(problem, skill_sets),
        **_workday_arrays(problem.workdays, clashing),
        **_wish_arrays(problem, technicians),
        closed_price=_closed_prices(problem, clashing),
        **menus.arrays(),
        **_travel(problem),
        able=_able(problem, skill_sets, clashing),
        near=np.full((len(problem.visits), _width(len(problem.visits))), -1, np.int32),
        menu_on=menu_on,
        late_day=float(problem.prices.late_day_min),
        epsilon=WORTH_WAITING_MIN,
    )
    find_near(tables, tables.near, np.zeros(NEIGHBOURS))
    return tables


def _width(visits: int) -> int:
    return min(NEIGHBOURS, max(visits - 1, 0))


def _travel(problem: Problem) -> dict[str, Any]:
    if isinstance(problem.travel_min, Travel):
        return _compact(problem.travel_min)
    # Writeable, because numba would compile everything again for a read-only table.
    travel = np.require(problem.travel_min, np.float32, ["C", "W"])
    none = {"row": _ints([]), "points_km": np.zeros((0, 3)), "least_km": np.zeros(0)}
    turned = _turned(travel)
    both = {"travel": travel, "travel_to": turned, "compact": False, "even": turned is travel}
    return both | none | {"roads": np.array(astuple(Roads()))}


def _turned(travel: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """The same table when it is symmetric; compared by rows, to need no third one."""
    even = all(np.array_equal(travel[i], travel[:, i]) for i in range(len(travel)))
    return travel if even else np.ascontiguousarray(travel.T)


def _compact(travel: Travel) -> dict[str, Any]:
    row = np.full(travel.places, -1, np.int32)
    row[list(travel.known)] = np.arange(len(travel.known))
    known = np.zeros((0, 0)) if travel.known_min is None else travel.known_min
    table = np.require(known, np.float32, ["C", "W"])
    return {
        "compact": True,
        "even": np.array_equal(table, table.T),
        "travel": table,
        "travel_to": table,
        "row": row,
        "points_km": np.require(travel.points_km, np.float64, ["C", "W"]),
        "least_km": np.require(travel.spreads_km, np.float64, ["C", "W"]),
        "roads": np.array(astuple(travel.roads), np.float64),
    }


def _visit_arrays(problem: Problem, skill_sets: list[frozenset[str]]) -> dict[str, Any]:
    visits, workdays = problem.visits, problem.workdays
    number = {skills: index for index, skills in enumerate(skill_sets)}
    places = [v.place for v in visits] + [w.start_place for w in workdays]
    return {
        "visits": len(visits),
        "workdays": len(workdays),
        "place": _ints(places + [w.end_place for w in workdays]),
        "service": _floats([v.service_min for v in visits]),
        "skill_set": _ints([number[v.skills] for v in visits]),
        "due_day": _ints([NEVER_DUE if v.due_day is None else v.due_day for v in visits]),
        "unplaced": _floats([_unplaced(problem, v) for v in visits]),
        "load": _floats([v.load for v in visits]),
        "fixed": np.array([v.fixed for v in visits], np.bool_),
        "kept_workday": _ints([-1 if v.kept is None else v.kept.workday for v in visits]),
    }


def _workday_arrays(workdays: tuple[Workday, ...], clashing: set[int]) -> dict[str, Any]:
    lunches = [w.lunch for w in workdays]
    return {
        "day": _ints([w.day for w in workdays]),
        "by_day": _ints(sorted(range(len(workdays)), key=lambda w: workdays[w].day)),
        "start": _floats([w.start_min for w in workdays]),
        "end": _floats([w.end_min + GRACE_MIN for w in workdays]),
        "lunch": np.array([lunch is not None for lunch in lunches], np.bool_),
        "lunch_earliest": _floats([lunch.earliest_min if lunch else 0.0 for lunch in lunches]),
        "lunch_latest": _floats(
            [lunch.latest_min + GRACE_MIN if lunch else 0.0 for lunch in lunches]
        ),
        "lunch_minutes": _floats([lunch.minutes if lunch else 0.0 for lunch in lunches]),
        "overtime": _ints([int(w.overtime_max_min // QUARTER_MIN) for w in workdays]),
        "room": _floats([np.inf if w.room is None else w.room + CLOSE_LOAD for w in workdays]),
        "closed": np.array([w in clashing for w in range(len(workdays))], np.bool_),
    }


def _unplaced(problem: Problem, visit: Visit) -> float:
    """Price of leaving a visit out, with that of a check that misses the days before the heat."""
    missed = problem.heat_day is not None and visit.warmth_class is not None
    return visit.unplaced_min + (problem.prices.after_heat_min if missed else 0.0)


def _wish_arrays(problem: Problem, technicians: dict[int | str | None, int]) -> dict[str, Any]:
    names = [w.technician for w in problem.workdays]
    prices = problem.prices
    groups: dict[tuple[Any, bool], int] = {}
    listed = [
        groups.setdefault((v.area, v.warmth_class is not None), len(groups)) for v in problem.visits
    ]
    return {
        "group": _ints(listed),
        "group_price": _group_prices(problem, listed, len(groups)),
        "wished": _ints([technicians.get(v.wished_technician, -1) for v in problem.visits]),
        "technician": _ints([technicians[name] for name in names]),
        "shares": _floats([1.0 / names.count(name) for name in names]),
        "other_technician": float(prices.other_technician_min),
        "overtime_quarter": QUARTER_MIN * float(prices.overtime_min),
        "uneven": float(prices.uneven_min),
    }


def _group_prices(problem: Problem, listed: list[int], groups: int) -> npt.NDArray[np.float64]:
    """[G, D]: what standing on a day costs a visit of each group, its due day aside."""
    table = np.zeros((max(groups, 1), max(problem.days, 1)))
    prices, heat = problem.prices, problem.heat_day
    for group, visit in dict(zip(listed, problem.visits, strict=True)).items():
        for day in range(problem.days):
            if off_area_day(problem, visit, day):
                table[group, day] += prices.off_area_day_min
            if heat is not None and visit.warmth_class is not None and day > heat:
                table[group, day] += prices.after_heat_min
    return table


def _closed_prices(problem: Problem, clashing: set[int]) -> npt.NDArray[np.float64]:
    """[W]: the overtime of days whose fixed visits clash; the search leaves them as they are."""
    found = np.zeros(len(problem.workdays))
    for index, slots in fixed_slots(problem).by_workday().items():
        if index in clashing:
            over = overtime_min(problem, problem.workdays[index], slots)
            found[index] = problem.prices.overtime_min * over
    return found


def _able(problem: Problem, skill_sets: list[frozenset[str]], clashing: set[int]) -> Any:
    """Which set of skills each workday covers; a clashing day takes nobody."""
    table = np.zeros((len(skill_sets), len(problem.workdays)), np.bool_)
    for w, workday in enumerate(problem.workdays):
        if w not in clashing:
            table[:, w] = [skills <= workday.skills for skills in skill_sets]
    return table


class _Menus:
    """Numbers the menus: one for all visits with the same windows and warmth on a day."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.listed: list[Menu] = []
        self._numbers: dict[tuple[Any, ...], int] = {}

    def by_day(self) -> Ints:
        """[N, D]: the menu of each visit on each day, -1 for none."""
        table = np.full((len(self.problem.visits), self.problem.days), -1, np.int32)
        hours = dict(_hours(self.problem))
        for index, visit in enumerate(self.problem.visits):
            if not visit.fixed:
                anytime = replace(visit, kept=None)
                for day in self._days(visit):
                    if day in hours:
                        table[index, day] = self._number(anytime, day, *hours[day])
            if visit.kept is not None:
                workday = self.problem.workdays[visit.kept.workday]
                table[index, workday.day] = self._kept(visit, workday, *hours[workday.day][1:])
        return table

    def arrays(self) -> dict[str, Any]:
        sizes = [len(menu.stretches) for menu in self.listed]
        stretches = np.array([s for menu in self.listed for s in menu.stretches], np.float64)
        stretches = stretches.reshape(-1, 3)
        return {
            "menu_first": _ints(np.concatenate([[0], np.cumsum(sizes)]).tolist()),
            "menu_at": _first_stretches(self.listed),
            "menu_price": _floats([menu.least_price for menu in self.listed]),
            "stretch_from": stretches[:, 0].copy(),
            "stretch_to": stretches[:, 1] + GRACE_MIN,
            "stretch_price": stretches[:, 2].copy(),
        }

    def _days(self, visit: Visit) -> Iterator[int]:
        if visit.windows is None:
            yield from range(visit.due_from_day, self.problem.days)
        else:
            yield from {w.day for w in visit.windows if w.day >= visit.due_from_day}

    def _number(self, visit: Visit, day: int, workday: Workday, first: float, last: float) -> int:
        windows = sorted(self.problem.windows_on(visit, day))
        clipped = tuple(
            (max(a, first), min(b, last)) for a, b in windows if a <= last and b >= first
        )
        key = (day, visit.warmth_class, clipped)
        if key not in self._numbers:
            self._numbers[key] = self._add(menu_of(self.problem, visit, workday, first, last))
        return self._numbers[key]

    def _kept(self, visit: Visit, workday: Workday, first: float, last: float) -> int:
        """The menu on the day of the kept slot, whoever drives."""
        assert visit.kept is not None
        start_min = visit.kept.start_min
        menu = menu_of(self.problem, visit, workday, min(first, start_min), max(last, start_min))
        return self._add(menu)

    def _add(self, menu: Menu) -> int:
        if not menu.stretches:
            return -1
        self.listed.append(menu)
        return len(self.listed) - 1


def _first_stretches(menus: list[Menu]) -> Ints:
    """[M, 48]: counted over all menus, the first stretch that reaches each half hour.

    Whoever arrives exactly on a border is still in time for the stretch before it: the same grace
    as in `stretch_to`.
    """
    table = np.zeros((len(menus), HALF_HOURS), np.int32)
    first = 0
    for index, menu in enumerate(menus):
        ends = np.array([end for _, end, _ in menu.stretches]) + GRACE_MIN
        table[index] = first + np.searchsorted(ends, BIN_MIN * np.arange(HALF_HOURS))
        first += len(ends)
    return table


def _hours(problem: Problem) -> Iterator[tuple[int, tuple[Workday, float, float]]]:
    """Of each day with any workday: one of them, the first start and the last end."""
    for day, indices in problem.workdays_by_day.items():
        workdays = [problem.workdays[index] for index in indices]
        first = min(workday.start_min for workday in workdays)
        last = max(workday.end_min + workday.overtime_max_min for workday in workdays)
        yield day, (workdays[0], first, last)


def _ints(values: list[int]) -> Ints:
    return np.array(values, np.int32)


def _floats(values: list[float]) -> npt.NDArray[np.float64]:
    return np.array(values, np.float64)
