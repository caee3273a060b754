"""What is wrong with a problem, in words that name the visit, workday or table at fault."""

from collections.abc import Iterator
from dataclasses import astuple, fields
from math import isfinite
from typing import Any

import numpy as np
import numpy.typing as npt

from .problem import HALF_HOURS, Problem, Visit, Workday
from .travel import Travel

OVERTIME_MIN = 105.0
"""The search tells seven quarters of an hour apart, no more."""


def reasons_to_refuse(problem: Problem) -> Iterator[str]:
    """One sentence for each contradiction; none when the problem can be planned."""
    yield from _season(problem)
    for workday in problem.workdays:
        yield from _workday(problem, workday)
    yield from _double_bookings(problem)
    for visit in problem.visits:
        yield from _visit(problem, visit)
    yield from _pairs(problem)


def _season(problem: Problem) -> Iterator[str]:
    warmth = problem.warmth
    if problem.days < 1:
        yield f"A season has at least one day, not {problem.days}."
    yield from _travel(problem.travel_min)
    if warmth.ndim != 3 or warmth.shape[2] != HALF_HOURS:
        yield f"Warmth must be [classes, days, {HALF_HOURS}]; it has shape {warmth.shape}."
    elif warmth.shape[0] and warmth.shape[1] < problem.days:
        yield f"Warmth covers {warmth.shape[1]} days of a season of {problem.days}."
    # NaN fails both comparisons, so the test is written the positive way round.
    elif not ((warmth >= 0) & (warmth <= 1)).all():
        yield "Warmth holds a value that is not a probability between 0 and 1."
    if not 0 <= problem.least_warmth <= 1:
        yield f"The least warmth must lie between 0 and 1, not {problem.least_warmth}."
    for price in fields(problem.prices):
        yield from _minutes(f"The price {price.name}", getattr(problem.prices, price.name))


def _travel(travel: npt.NDArray[np.float32] | Travel) -> Iterator[str]:
    if isinstance(travel, Travel):
        yield from _points(travel)
    elif travel.ndim != 2 or travel.shape[0] != travel.shape[1]:
        yield f"The travel table must be square; it has shape {travel.shape}."
    elif not _are_minutes(travel):
        yield "The travel table holds a time that is negative, infinite or not a number."


def _points(travel: Travel) -> Iterator[str]:
    if travel.points_km.ndim != 2 or travel.points_km.shape[1] != 3:
        yield f"Points must be [places, 3]; they have shape {travel.points_km.shape}."
    elif not np.isfinite(travel.points_km).all():
        yield "A point is infinite or not a number."
    if travel.least_km is not None and len(travel.least_km) != travel.places:
        yield f"There are {len(travel.least_km)} shortest lines for {travel.places} places."
    elif not _are_minutes(travel.spreads_km):
        yield "A shortest line is negative, infinite or not a number."
    if not all(0 <= place < travel.places for place in travel.known):
        yield "A place with known drives is not one of the places."
    known, size = travel.known_min, len(travel.known)
    if (known is None) != (not travel.known) or (known is not None and known.shape != (size, size)):
        yield f"The table of known drives must be [{size}, {size}]."
    elif known is not None and not _are_minutes(known):
        yield "The table of known drives holds a time that is negative, infinite or not a number."
    if not all(isfinite(figure) and figure >= 0 for figure in astuple(travel.roads)):
        yield "The figures of the roads must be zero or more."
    elif not travel.roads.far_km > travel.roads.near_km:
        yield "Roads: what is far must be farther than what is near."


def _are_minutes(values: npt.NDArray[Any]) -> bool:
    """Whether all are zero or more; without a copy, and NaN is least and most."""
    return not values.size or bool(values.min() >= 0 and isfinite(values.max()))


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
    yield from _minutes(f"{name}: the overtime allowed", workday.overtime_max_min)
    if workday.overtime_max_min > OVERTIME_MIN:
        most = f"at most {OVERTIME_MIN:.0f} are allowed"
        yield f"{name}: overtime of {workday.overtime_max_min} min; {most}."
    if workday.room is not None:
        yield from _amount(f"{name}: the room in the truck", workday.room)
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
    yield from _amount(f"{name}: its load", visit.load)
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


def _pairs(problem: Problem) -> Iterator[str]:
    paired = [visit for pair in problem.together for visit in pair]
    for visit in paired:
        if not 0 <= visit < len(problem.visits):
            yield f"Visit number {visit} of a pair does not exist."
    if len(set(paired)) < len(paired):
        yield "A visit is in two pairs, or is its own partner."


def _amount(what: str, value: float) -> Iterator[str]:
    if not (isfinite(value) and value >= 0):
        yield f"{what} must be zero or more, not {value}."


def _minutes(what: str, value: float) -> Iterator[str]:
    if not (isfinite(value) and value >= 0):
        yield f"{what} must be zero minutes or more, not {value}."


def _place(problem: Problem, what: str, place: int) -> Iterator[str]:
    if not 0 <= place < problem.places:
        yield f"{what}: place {place} is not in the travel table."
