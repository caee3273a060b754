"""What is wrong with a problem, in words that name the visit, workday or table at fault."""

from collections.abc import Iterator
from math import isfinite

import numpy as np

from .problem import HALF_HOURS, Problem, Visit, Workday


def reasons_to_refuse(problem: Problem) -> Iterator[str]:
    """One sentence for each contradiction; none when the problem can be planned."""
    yield from _season(problem)
    for workday in problem.workdays:
        yield from _workday(problem, workday)
    yield from _double_bookings(problem)
    for visit in problem.visits:
        yield from _visit(problem, visit)


def _season(problem: Problem) -> Iterator[str]:
    travel, warmth = problem.travel_min, problem.warmth
    if problem.days < 1:
        yield f"A season has at least one day, not {problem.days}."
    if travel.ndim != 2 or travel.shape[0] != travel.shape[1]:
        yield f"The travel table must be square; it has shape {travel.shape}."
    elif not np.isfinite(travel).all() or (travel < 0).any():
        yield "The travel table holds a time that is negative, infinite or not a number."
    if warmth.ndim != 3 or warmth.shape[2] != HALF_HOURS:
        yield f"Warmth must be [classes, days, {HALF_HOURS}]; it has shape {warmth.shape}."
    elif warmth.shape[0] and warmth.shape[1] < problem.days:
        yield f"Warmth covers {warmth.shape[1]} days of a season of {problem.days}."
    # NaN fails both comparisons, so the test is written the positive way round.
    elif not ((warmth >= 0) & (warmth <= 1)).all():
        yield "Warmth holds a value that is not a probability between 0 and 1."
    if not 0 <= problem.least_warmth <= 1:
        yield f"The least warmth must lie between 0 and 1, not {problem.least_warmth}."
    for name in ("cold_trip_min", "late_day_min", "kept_within_min"):
        yield from _minutes(f"The price {name}", getattr(problem.prices, name))


def _workday(problem: Problem, workday: Workday) -> Iterator[str]:
    name = f"Workday {workday.key}"
    if not 0 <= workday.day < problem.days:
        yield f"{name}: day {workday.day} is outside the season of {problem.days} days."
    yield from _minutes(f"{name}: the start", workday.start_min)
    yield from _minutes(f"{name}: the end", workday.end_min)
    if workday.end_min < workday.start_min:
        yield f"{name} ends at {workday.end_min} min, before it starts."
    yield from _place(problem, f"{name}: the start", workday.start_place)
    yield from _place(problem, f"{name}: the end", workday.end_place)
    if workday.lunch is not None:
        yield from _minutes(f"{name}: lunch", workday.lunch.minutes)
        yield from _minutes(f"{name}: the earliest lunch", workday.lunch.earliest_min)
        if not workday.lunch.latest_min >= workday.lunch.earliest_min:
            yield f"{name}: the latest lunch is before the earliest."


def _double_bookings(problem: Problem) -> Iterator[str]:
    latest: dict[tuple[int | str, int], Workday] = {}
    for workday in sorted(problem.workdays, key=lambda w: w.start_min):
        seat = (workday.technician, workday.day)
        before = latest.get(seat)
        if before is not None and workday.start_min < before.end_min:
            yield (
                f"Workdays {before.key} and {workday.key} overlap: technician "
                f"{workday.technician} cannot be in two places."
            )
        latest[seat] = workday


def _visit(problem: Problem, visit: Visit) -> Iterator[str]:
    name = f"Visit {visit.key}"
    yield from _minutes(f"{name}: the duration", visit.service_min)
    yield from _minutes(f"{name}: the price of leaving it out", visit.unplaced_min)
    yield from _minutes(f"{name}: the price of moving it", visit.move_min)
    yield from _place(problem, name, visit.place)
    classes = problem.warmth.shape[0]
    if visit.warmth_class is not None and not 0 <= visit.warmth_class < classes:
        yield f"{name}: warmth class {visit.warmth_class} is not one of the {classes} given."
    for window in visit.windows or ():
        if not 0 <= window.day < problem.days:
            yield f"{name}: a window is on day {window.day}, outside the season."
        if not window.latest_start_min >= window.earliest_start_min:
            yield f"{name}: a window on day {window.day} ends before it begins."
    if visit.fixed and visit.kept is None:
        yield f"{name} is fixed but has no slot to be fixed to."
    if visit.kept is not None:
        yield from _minutes(f"{name}: the kept start", visit.kept.start_min)
        if not 0 <= visit.kept.workday < len(problem.workdays):
            yield f"{name}: its kept workday {visit.kept.workday} does not exist."


def _minutes(what: str, value: float) -> Iterator[str]:
    if not (isfinite(value) and value >= 0):
        yield f"{what} must be zero minutes or more, not {value}."


def _place(problem: Problem, what: str, place: int) -> Iterator[str]:
    if not 0 <= place < problem.travel_min.shape[0]:
        yield f"{what}: place {place} is not in the travel table."
