"""How few cold trips any plan can have: a lower bound, shown beside each plan.

A linear program that gives each kind of visit to days and two-hour slots and forgets the routes: of
travel only the shortest drive to each home is kept, of warmth the best half hour of each slot. What
it finds no plan can beat. Solved by HiGHS (Huangfu and Hall 2018, from memory).
"""

from collections import Counter
from dataclasses import dataclass
from math import ceil

import highspy
import numpy as np
import numpy.typing as npt

from .linear import QuietHighs
from .problem import BIN_MIN, HALF_HOURS, Problem

SLOT_MIN = 120.0
SHORTEST_MIN = 1e-6

Skills = frozenset[str]


@dataclass(frozen=True, slots=True)
class _Kind:
    """Visits that are alike in all that the program looks at. `work_min`: with the drive there."""

    windows: tuple[tuple[int, float, float], ...] | None
    skills: Skills
    warmth_class: int | None
    from_day: int
    work_min: float


def fewest_cold_trips(problem: Problem, placed: int, seconds: float = 20.0) -> float | None:
    """No plan that places `placed` visits has fewer expected cold trips. None: not found in time,
    or no plan places so many. A kept slot may be colder than its windows; so with any, 0.0."""
    if placed == 0 or any(visit.kept is not None for visit in problem.visits):
        return 0.0
    kinds = Counter(_kinds(problem))
    program = _Program(problem, kinds, placed)
    return program.solve(seconds)


def _kinds(problem: Problem) -> list[_Kind]:
    nearest = _nearest_min(problem)
    found = []
    for visit, drive_min in zip(problem.visits, nearest, strict=True):
        windows = None
        if visit.windows is not None:
            windows = tuple(
                (w.day, w.earliest_start_min, w.latest_start_min) for w in visit.windows
            )
        # Whole minutes, rounded down, keep the kinds few and the bound sound.
        work_min = visit.service_min + float(np.floor(drive_min))
        found.append(_Kind(windows, visit.skills, visit.warmth_class, visit.due_from_day, work_min))
    return found


def _nearest_min(problem: Problem) -> npt.NDArray[np.float64]:
    """The shortest drive to each visit from any other place that a technician can come from."""
    places = np.array([visit.place for visit in problem.visits], np.intp)
    starts = np.array([workday.start_place for workday in problem.workdays], np.intp)
    shortest = np.full(len(places), np.inf)
    for index, place in enumerate(places):
        away = problem.drives_from(int(place)) * (1 - 1e-6)
        drives = np.concatenate([np.delete(away[places], index), away[starts]])
        shortest[index] = drives.min() if drives.size else 0.0
    return shortest if _is_even(problem) else np.zeros(len(places))


def _is_even(problem: Problem) -> bool:
    """Whether drives are the same both ways; `drives_from` then is also the drive to a place."""
    travel = problem.travel_min
    if isinstance(travel, np.ndarray):
        return all(np.array_equal(travel[i], travel[:, i]) for i in range(len(travel)))
    return travel.known_min is None


class _Program:
    """The columns and rows. A column is a kind in a slot of a day; rows: `placed`, the visits of
    each kind, and for each set of skills the minutes of each day and the starts of each slot."""

    def __init__(self, problem: Problem, kinds: Counter[_Kind], placed: int) -> None:
        self.problem = problem
        self.costs: list[float] = []
        self.entries: list[tuple[int, int, float]] = []  # row, column, value
        self.bounds: list[tuple[float, float]] = []
        self.rows: dict[tuple[object, ...], int] = {}
        self.skill_sets = sorted({kind.skills for kind in kinds}, key=sorted)
        self.least_work_min = max(SHORTEST_MIN, min(kind.work_min for kind in kinds))
        self._row(("placed",), placed, np.inf)
        for number, (kind, count) in enumerate(kinds.items()):
            self._row((number,), 0, count)
            self._columns(number, kind)

    def solve(self, seconds: float) -> float | None:
        solver = QuietHighs()
        solver.setOptionValue("time_limit", seconds)
        solver.passModel(self._model())
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return float(max(0.0, solver.getInfo().objective_function_value))

    def _row(self, name: tuple[object, ...], least: float, most: float) -> int:
        if name not in self.rows:
            self.rows[name] = len(self.bounds)
            self.bounds.append((least, most))
        return self.rows[name]

    def _columns(self, number: int, kind: _Kind) -> None:
        for day, its in self.problem.workdays_by_day.items():
            fit = [w for w in its if kind.skills <= self.problem.workdays[w].skills]
            if day < kind.from_day or not fit:
                continue
            for slot in range(ceil(HALF_HOURS * BIN_MIN / SLOT_MIN)):
                cold = self._least_cold(kind, day, slot, fit)
                if cold is not None:
                    self._column(number, kind, day, slot, cold)

    def _least_cold(self, kind: _Kind, day: int, slot: int, fit: list[int]) -> float | None:
        """At the warmest half hour of the slot that shifts and customer allow; None: none does."""
        days = [self.problem.workdays[w] for w in fit]
        begin = max(slot * SLOT_MIN, min(day.start_min for day in days))
        latest = max(day.end_min + day.overtime_max_min for day in days)
        end = min((slot + 1) * SLOT_MIN - SHORTEST_MIN, latest)
        spans = [(begin, end)]
        if kind.windows is not None:
            windows = [(a, b) for d, a, b in kind.windows if d == day]
            spans = [(max(begin, a), min(end, b)) for a, b in windows]
        spans = [(a, b) for a, b in spans if a <= b]
        if not spans:
            return None
        if kind.warmth_class is None:
            return 0.0
        row = self.problem.warmth[kind.warmth_class, day]
        warm = max(row[int(a // BIN_MIN) : int(b // BIN_MIN) + 1].max() for a, b in spans)
        return None if warm < self.problem.least_warmth else 1.0 - float(warm)

    def _column(self, number: int, kind: _Kind, day: int, slot: int, cold: float) -> None:
        column = len(self.costs)
        self.costs.append(cold)
        self.entries += [(0, column, 1.0), (self.rows[(number,)], column, 1.0)]
        for skills in self.skill_sets:
            if skills <= kind.skills:
                minutes, starts = self._room(day, slot, skills)
                self.entries += [(minutes, column, kind.work_min), (starts, column, 1.0)]

    def _room(self, day: int, slot: int, skills: Skills) -> tuple[int, int]:
        """Rows for what technicians with these skills can do: minutes a day and starts a slot."""
        name = ("minutes", day, skills)
        if name not in self.rows:
            its = [self.problem.workdays[w] for w in self.problem.workdays_by_day[day]]
            its = [workday for workday in its if skills <= workday.skills]
            hours = sum(w.end_min + w.overtime_max_min - w.start_min for w in its)
            self._row(name, -np.inf, hours)
            for other in range(ceil(HALF_HOURS * BIN_MIN / SLOT_MIN)):
                most = len(its) * ceil(SLOT_MIN / self.least_work_min)
                self._row(("starts", day, other, skills), -np.inf, most)
        return self.rows[name], self.rows[("starts", day, slot, skills)]

    def _model(self) -> highspy.HighsLp:
        rows, columns, values = (np.array(part) for part in zip(*self.entries, strict=True))
        order = np.argsort(columns, kind="stable")
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.costs), len(self.bounds)
        model.col_cost_ = np.array(self.costs)
        model.col_lower_ = np.zeros(len(self.costs))
        model.col_upper_ = np.full(len(self.costs), np.inf)
        model.row_lower_ = np.array([least for least, _ in self.bounds], np.float64)
        model.row_upper_ = np.array([most for _, most in self.bounds], np.float64)
        model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        counts = np.bincount(columns, minlength=len(self.costs))
        model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
        model.a_matrix_.index_ = rows[order].astype(np.int32)
        model.a_matrix_.value_ = values[order].astype(np.float64)
        return model
