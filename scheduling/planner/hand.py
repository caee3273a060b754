"""Three ways in which a careful shop without a planner fills its season, to compare with.

By last year's date, by ZIP area, and from each stop to the nearest home. All keep every hard rule
and what is promised, and all hold their cooling checks: none starts where it is less likely warm
enough than `hold_below`, and work that needs no warmth fills the cold hours before. Only what has
no place in the end may also go where the problem's own limit allows. Common practice, no source.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import inf

import numpy as np
import numpy.typing as npt

from .problem import BIN_MIN, HALF_HOURS, Plan, Problem, Slot, Visit, Workday
from .rules import able, clashes, fixed_slots, lunch_fits, may_start
from .score import warmth_at

HOLD_BELOW = 0.7
"""Likely warm enough, as an office would say it."""
IDLE_MIN = 30.0
"""Nobody waits longer than this for the next stop while another one could be begun."""

Whole = npt.NDArray[np.intp]
Liking = Callable[[int, Whole], npt.NDArray[np.floating]]
"""How little each of some visits (indices) is wanted as the next stop after a place."""


def by_date(problem: Problem, last_year: Sequence[float], hold_below: float = HOLD_BELOW) -> Plan:
    """Card after card: on the day of last year's visit, or the first day after it with room.

    `last_year`: of each visit, a day counted from the first day of this season.
    """
    book = DayBook(problem)
    for visit in sorted(book.left, key=lambda visit: last_year[visit]):
        days = sorted(problem.workdays_by_day, key=lambda day: (day < int(last_year[visit]), day))
        book.put_on_first(visit, days, hold_below)
    for visit in sorted(book.left, key=lambda visit: last_year[visit]):
        book.put_on_first(visit, sorted(problem.workdays_by_day), problem.least_warmth)
    return book.plan()


def by_zip(problem: Problem, area: Sequence[int], hold_below: float = HOLD_BELOW) -> Plan:
    """Each morning to the area with most visits left, and on in the same area while any fits.

    `area`: of each visit, the number of its area.
    """
    book = DayBook(problem)
    areas = np.unique(np.asarray(area, np.intp), return_inverse=True)[1]
    area_of = {visit.place: areas[index] for index, visit in enumerate(problem.visits)}

    def liking(place: int, left: Whole) -> npt.NDArray[np.floating]:
        if place in area_of:
            elsewhere: npt.NDArray[np.floating] = (areas[left] != area_of[place]).astype(float)
            return elsewhere
        crowds: npt.NDArray[np.floating] = np.bincount(areas[left])[areas[left]].astype(float)
        return -crowds

    return _day_by_day(book, liking, hold_below)


def nearest(problem: Problem, hold_below: float = HOLD_BELOW) -> Plan:
    """From each stop to the nearest home that fits."""
    return _day_by_day(DayBook(problem), lambda place, left: np.zeros(len(left)), hold_below)


def _day_by_day(book: "DayBook", liking: Liking, hold_below: float) -> Plan:
    """Fills one workday after the other; what is left is squeezed in where there is room."""
    problem = book.problem

    def due(visit: int) -> float:
        day = problem.visits[visit].due_day
        return inf if day is None else day

    for day in sorted(problem.workdays_by_day):
        for workday in problem.workdays_by_day[day]:
            while (stop := _next_stop(book, workday, liking, hold_below)) is not None:
                book.put(stop)
    for limit in (hold_below, problem.least_warmth):
        for visit in sorted(book.left, key=due):
            book.put_on_first(visit, sorted(problem.workdays_by_day), limit)
    return book.plan()


def _next_stop(book: "DayBook", workday: int, liking: Liking, limit: float) -> Slot | None:
    """The visit to go on with: soonest begun (all within IDLE_MIN alike), best liked, nearest."""
    ready_min, place = book.end_of(workday)
    best, least_min = None, inf
    for visit in _by_liking(book, workday, liking):
        slot = book.last_opening(visit, workday, limit)
        if slot is None:
            continue
        drive_min = book.problem.drive_min(place, book.problem.visits[visit].place)
        too_long_min = max(slot.start_min - ready_min - drive_min - IDLE_MIN, 0.0)
        if too_long_min < least_min:
            best, least_min = slot, too_long_min
        if too_long_min == 0.0:
            break
    return best


def _by_liking(book: "DayBook", workday: int, liking: Liking) -> Iterable[int]:
    """The visits left for which the day is long enough: best liked first, then nearest."""
    problem, day = book.problem, book.problem.workdays[workday]
    ready_min, place = book.end_of(workday)
    left = np.array(book.left, np.intp)
    drive_min = problem.drives_from(place)[book.places[left]]
    fits = ready_min + drive_min + book.service_min[left] <= day.end_min + 1.0
    left, drive_min = left[fits], drive_min[fits]
    if not left.size:
        return []
    return (int(visit) for visit in left[np.lexsort((drive_min, liking(place, left)))])


class DayBook:
    """The shop's book: a column for each workday, slots in order, never moved once written."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.closed = set(clashes(problem))
        self.columns: list[list[Slot]] = [[] for _ in problem.workdays]
        self.left = list(range(len(problem.visits)))
        self.places = np.array([visit.place for visit in problem.visits], np.intp)
        self.service_min = np.array([visit.service_min for visit in problem.visits])
        self.free_min = [day.end_min - day.start_min for day in problem.workdays]
        for slot in fixed_slots(problem).slots:
            if slot is not None:
                self.put(slot)
        for visit in list(self.left):
            self._keep(visit)

    def put(self, slot: Slot) -> None:
        """Write a slot down; it has to fit."""
        column = self.columns[slot.workday]
        column.append(slot)
        column.sort(key=lambda taken: taken.start_min)
        workday = self.problem.workdays[slot.workday]
        driven_min = sum(drive_min for _, drive_min, _ in self._hops(column, workday))
        worked_min = sum(self.service_min[taken.visit] for taken in column)
        self.free_min[slot.workday] = workday.end_min - workday.start_min - driven_min - worked_min
        self.left.remove(slot.visit)

    def put_on_first(self, visit: int, days: Iterable[int], limit: float) -> None:
        """On the first of these days with an opening, with whom drives least for it."""
        for day in days:
            options = [
                (self.detour_min(slot), slot)
                for workday in self.problem.workdays_by_day[day]
                if (slot := next(self._openings(visit, workday, limit), None)) is not None
            ]
            if options:
                self.put(min(options, key=lambda option: option[0])[1])
                return

    def last_opening(self, visit: int, workday: int, limit: float) -> Slot | None:
        """The earliest slot behind all that the workday holds already."""
        return next(self._openings(visit, workday, limit, len(self.columns[workday])), None)

    def end_of(self, workday: int) -> tuple[float, int]:
        """When and where the technician is ready to leave after the last slot so far."""
        return self._leaves(workday, len(self.columns[workday]))

    def plan(self) -> Plan:
        written: list[Slot | None] = [None] * len(self.problem.visits)
        for column in self.columns:
            for slot in column:
                written[slot.visit] = slot
        return Plan(tuple(written))

    def _keep(self, visit: int) -> None:
        """Back into the slot it has, where that still fits."""
        kept = self.problem.visits[visit].kept
        if kept is None:
            return
        slot = Slot(visit, kept.workday, kept.start_min)
        if self._may_stand(slot) and self.leaves_room(slot):
            self.put(slot)

    def _openings(self, visit: int, workday: int, limit: float, gap: int = 0) -> Iterator[Slot]:
        """The earliest slot of each gap between what is written, from gap number `gap` on."""
        wanted, day = self.problem.visits[visit], self.problem.workdays[workday]
        if workday in self.closed or wanted.fixed or not able(wanted, day):
            return
        # A day is full for what takes longer than all that is left of it.
        if self.columns[workday] and wanted.service_min > self.free_min[workday] + 1.0:
            return
        for position in range(gap, len(self.columns[workday]) + 1):
            for arrival_min in self._arrivals(wanted, day, *self._leaves(workday, position)):
                start_min = _first_start(self.problem, wanted, day, arrival_min, limit)
                slot = Slot(visit, workday, start_min)
                if start_min < inf and self.leaves_room(slot):
                    yield slot
                    break

    def _arrivals(
        self, visit: Visit, workday: Workday, ready_min: float, place: int
    ) -> list[float]:
        """When one can be there: at once, or after a lunch taken first."""
        drive_min = self.problem.drive_min(place, visit.place)
        if workday.lunch is None:
            return [ready_min + drive_min]
        fed_min = max(ready_min, workday.lunch.earliest_min) + workday.lunch.minutes
        return [ready_min + drive_min, fed_min + drive_min]

    def _leaves(self, workday: int, position: int) -> tuple[float, int]:
        """When and where the technician is ready to leave for the stop at `position`."""
        day = self.problem.workdays[workday]
        if position == 0:
            return day.start_min, day.start_place
        before = self.columns[workday][position - 1]
        visit = self.problem.visits[before.visit]
        return before.start_min + visit.service_min, visit.place

    def _may_stand(self, slot: Slot) -> bool:
        visit, workday = self.problem.visits[slot.visit], self.problem.workdays[slot.workday]
        open_day = slot.workday not in self.closed and able(visit, workday)
        return open_day and may_start(self.problem, visit, workday, slot.start_min)

    def leaves_room(self, slot: Slot) -> bool:
        """Whether the workday still works out with this slot in it: drives, way home and lunch."""
        workday = self.problem.workdays[slot.workday]
        hops = self._hops([*self.columns[slot.workday], slot], workday)
        if not all(ready_min + drive_min <= due_min for ready_min, drive_min, due_min in hops):
            return False
        loads = [self.problem.visits[s.visit].load for s in [*self.columns[slot.workday], slot]]
        if workday.room is not None and sum(loads) > workday.room:
            return False
        return workday.lunch is None or lunch_fits(workday.lunch, hops)

    def _hops(self, slots: list[Slot], workday: Workday) -> list[tuple[float, float, float]]:
        """Of each drive of the day: ready to leave, its length, to be there by."""
        hops = []
        ready_min, place = workday.start_min, workday.start_place
        for slot in sorted(slots, key=lambda taken: taken.start_min):
            visit = self.problem.visits[slot.visit]
            hops.append((ready_min, self.problem.drive_min(place, visit.place), slot.start_min))
            ready_min, place = slot.start_min + visit.service_min, visit.place
        home_min = self.problem.drive_min(place, workday.end_place)
        return [*hops, (ready_min, home_min, workday.end_min)]

    def detour_min(self, slot: Slot) -> float:
        workday, column = self.problem.workdays[slot.workday], self.columns[slot.workday]
        without = sum(drive_min for _, drive_min, _ in self._hops(column, workday))
        return sum(hop[1] for hop in self._hops([*column, slot], workday)) - without


def _first_start(
    problem: Problem, visit: Visit, workday: Workday, from_min: float, limit: float
) -> float:
    """The first allowed start of that day at or after `from_min`; infinity for none."""
    if workday.day < visit.due_from_day:
        return inf
    starts = (
        _first_warm(problem, visit, workday.day, max(first, from_min), last, limit)
        for first, last in problem.windows_on(visit, workday.day)
    )
    return min(starts, default=inf)


def _first_warm(
    problem: Problem, visit: Visit, day: int, first: float, last: float, limit: float
) -> float:
    """The first start in [first, last] that is warm enough; infinity for none."""
    if visit.warmth_class is None:
        return first if first <= last else inf
    half_hours = range(int(first // BIN_MIN) + 1, HALF_HOURS)
    least = max(limit, problem.least_warmth)
    for start_min in (first, *(BIN_MIN * half_hour for half_hour in half_hours)):
        if start_min <= last and warmth_at(problem, visit, day, start_min) >= least:
            return start_min
    return inf
