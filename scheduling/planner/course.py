"""The course of one technician's day: when each drive may begin, lunch, and when it ends."""

from itertools import pairwise
from math import ceil

from .problem import Lunch, Problem, Slot, Workday

CLOSE_MIN = 1e-3
"""Rounding left over from adding travel times; times closer than this are the same."""
QUARTER_MIN = 15.0
"""Overtime is paid by the started quarter of an hour."""

Boundary = tuple[float, float, float]
"""Ready to leave, minutes of the drive, to be there by; the last one is the way home."""


def boundaries(problem: Problem, workday: Workday, slots: list[Slot]) -> list[Boundary]:
    """Every drive of the day, from stop to stop in the order of `slots`."""
    places = [workday.start_place, *(problem.visits[s.visit].place for s in slots)]
    drives = [problem.drive_min(a, b) for a, b in pairwise([*places, workday.end_place])]
    readies = [workday.start_min]
    readies += [s.start_min + problem.visits[s.visit].service_min for s in slots]
    due = [*(slot.start_min for slot in slots), workday.end_min + workday.overtime_max_min]
    return list(zip(readies, drives, due, strict=True))


def lunch_fits(lunch: Lunch, course: list[Boundary]) -> bool:
    """Whether lunch can be taken at some boundary, or the day is over before one is owed."""
    return _home_before(lunch, course) or any(_takes(lunch, boundary) for boundary in course)


def home_at(workday: Workday, course: list[Boundary]) -> float:
    """When the technician is home; after a lunch that only fits behind the last stop."""
    ready, drive, _ = course[-1]
    lunch = workday.lunch
    if lunch is None or _home_before(lunch, course):
        return ready + drive
    if any(_takes(lunch, boundary) for boundary in course[:-1]):
        return ready + drive
    return max(ready, lunch.earliest_min) + lunch.minutes + drive


def overtime_min(problem: Problem, workday: Workday, slots: list[Slot]) -> float:
    """Paid minutes after the end of the shift: every started quarter of an hour counts whole."""
    if workday.overtime_max_min <= 0:
        return 0.0
    over = home_at(workday, boundaries(problem, workday, slots)) - workday.end_min
    return QUARTER_MIN * max(0, ceil((over - CLOSE_MIN) / QUARTER_MIN))


def _home_before(lunch: Lunch, course: list[Boundary]) -> bool:
    ready, drive, _ = course[-1]
    return ready + drive <= lunch.latest_min + CLOSE_MIN


def _takes(lunch: Lunch, boundary: Boundary) -> bool:
    ready, drive, due = boundary
    begin = max(ready, lunch.earliest_min)
    in_time = begin + lunch.minutes + drive <= due + CLOSE_MIN
    return begin <= lunch.latest_min + CLOSE_MIN and in_time
