"""vroom 1.15: a vehicle for each workday and a profile of costs for each day."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import vroom

from benchmarks.peers import Routes, day_price, table_of
from scheduling.planner import Problem

DAY_S, LIKELY_WARM = 86_400, 0.7


def solve(problem: Problem, seconds: float, seed: int) -> Routes:
    """Windows colder than LIKELY_WARM are left out where a warmer one exists."""
    drive_s = np.rint(table_of(problem) * 60).astype(np.uint32)
    price = day_price(problem)
    made = vroom.Input()
    for day in problem.workdays_by_day:
        into = np.zeros(problem.places)
        for index, visit in enumerate(problem.visits):
            into[visit.place] = 60 * min(price[index, day], 10_000.0)
        made.set_durations_matrix(f"d{day}", drive_s)
        made.set_costs_matrix(f"d{day}", drive_s + into.astype(np.uint32)[None, :])
    for number, workday in enumerate(problem.workdays):
        shift = (workday.start_min, workday.end_min)
        made.add_vehicle(
            vroom.Vehicle(
                number,
                start=workday.start_place,
                end=workday.end_place,
                profile=f"d{workday.day}",
                time_window=tuple(workday.day * DAY_S + 60 * int(minute) for minute in shift),
                skills={1} if workday.skills else set(),
            )
        )
    for index, visit in enumerate(problem.visits):
        windows = _windows(problem, index, price[index])
        if windows:
            made.add_job(
                vroom.Job(
                    index,
                    location=visit.place,
                    default_service=int(60 * visit.service_min),
                    skills={1} if visit.skills else set(),
                    time_windows=windows,
                )
            )
    answer = made.solve(exploration_level=1, nb_threads=1, timeout=timedelta(seconds=seconds))
    steps = answer.routes[answer.routes["type"] == "job"]
    routes: dict[int, list[int]] = {}
    for workday, visit in zip(steps["vehicle_id"], steps["id"], strict=True):
        routes.setdefault(int(workday), []).append(int(visit))
    return routes


def _windows(problem: Problem, index: int, price: np.ndarray) -> list[tuple[int, int]]:
    likely = _spans(problem, index, price, LIKELY_WARM)
    return likely or _spans(problem, index, price, 0.0)


def _spans(problem: Problem, index: int, price: np.ndarray, least: float) -> list[tuple[int, int]]:
    visit, found = problem.visits[index], []
    for day in sorted(problem.workdays_by_day):
        if not np.isfinite(price[day]):
            continue
        for first, last in problem.windows_on(visit, day):
            begin, end = max(first, 0.0), min(last, 1439.0)
            if visit.warmth_class is not None:
                row = problem.warmth[visit.warmth_class, day]
                warm = [h for h in range(48) if row[h] >= least and begin <= 30 * h <= end]
                if not warm:
                    continue
                begin, end = max(begin, 30.0 * warm[0]), min(end, 30.0 * warm[-1] + 29.0)
            found.append((int(day * DAY_S + 60 * begin), int(day * DAY_S + 60 * end)))
    return found
