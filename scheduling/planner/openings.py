"""Times that are really free for one visit between slots that stay where they are.

The same rules and prices as the search, asked of one visit: nothing else is moved, so an opening
can be promised while the customer waits.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from .menus import start_price
from .problem import Problem, Visit, Workday
from .rules import CLOSE_MIN, able, lunch_fits
from .score import warmth_at

STEP_MIN = 15
"""People are offered whole quarters of an hour."""

Drive = Callable[[int, int], float]


@dataclass(frozen=True, slots=True)
class TakenSlot:
    """A slot that stays: minutes after midnight, and its place."""

    start_min: float
    end_min: float
    place: int


@dataclass(frozen=True, slots=True)
class Opening:
    """A free start on a workday (by index). `warmth` None: none is needed."""

    workday: int
    start_min: float
    warmth: float | None
    travel_added_min: float
    cost_min: float


def openings(
    problem: Problem, visit: Visit, stops: Mapping[int, Sequence[TakenSlot]], drive: Drive
) -> list[Opening]:
    """The best opening of each half day, cheapest first.

    `stops`: workday index -> its slots in order. `drive`: minutes from place to place.
    """
    best: dict[tuple[int, bool], Opening] = {}
    that_day = _day_by_day(problem, visit)
    for index, workday in enumerate(problem.workdays):
        if not able(visit, workday) or workday.day not in that_day:
            continue
        wanted = that_day[workday.day]
        for opening in _of_workday(problem, wanted, index, workday, stops.get(index, ()), drive):
            half = workday.day, opening.start_min >= 12 * 60
            if half not in best or opening.cost_min < best[half].cost_min:
                best[half] = opening
    return sorted(best.values(), key=lambda opening: opening.cost_min)


def _day_by_day(problem: Problem, visit: Visit) -> dict[int, Visit]:
    """The visit with the windows of one day each, so that no start looks through all of them."""
    windows = visit.windows
    if windows is None:
        return dict.fromkeys(problem.workdays_by_day, visit)
    return {
        day: replace(visit, windows=tuple(w for w in windows if w.day == day))
        for day in {window.day for window in windows}
    }


def _of_workday(
    problem: Problem,
    visit: Visit,
    index: int,
    workday: Workday,
    stops: Sequence[TakenSlot],
    drive: Drive,
) -> Iterable[Opening]:
    """Each gap between neighbours, tried at every quarter of an hour that it holds."""
    first = TakenSlot(workday.start_min, workday.start_min, workday.start_place)
    last = TakenSlot(workday.end_min, workday.end_min, workday.end_place)
    for before, after in pairwise([first, *stops, last]):
        there, on = drive(before.place, visit.place), drive(visit.place, after.place)
        added = there + on - drive(before.place, after.place)
        latest = after.start_min - on - visit.service_min
        for start_min in _quarters(before.end_min + there, latest):
            price = start_price(problem, visit, workday, start_min)
            if price is None or not _lunch_stays(workday, stops, visit, start_min, drive):
                continue
            yield Opening(
                index,
                start_min,
                None
                if visit.warmth_class is None
                else warmth_at(problem, visit, workday.day, start_min),
                added,
                added + price + _late_price(problem, visit, workday),
            )


def _quarters(first: float, last: float) -> Iterable[float]:
    begin = -(-first // STEP_MIN) * STEP_MIN
    while begin <= last + CLOSE_MIN:
        yield begin
        begin += STEP_MIN


def _late_price(problem: Problem, visit: Visit, workday: Workday) -> float:
    if visit.due_day is None:
        return 0.0
    return problem.prices.late_day_min * max(0, workday.day - visit.due_day)


def _lunch_stays(
    workday: Workday, stops: Sequence[TakenSlot], visit: Visit, start_min: float, drive: Drive
) -> bool:
    """Is there still room for lunch with the visit at `start_min`?"""
    if workday.lunch is None:
        return True
    new = TakenSlot(start_min, start_min + visit.service_min, visit.place)
    route = sorted([*stops, new], key=lambda stop: stop.start_min)
    first = TakenSlot(workday.start_min, workday.start_min, workday.start_place)
    last = TakenSlot(workday.end_min, workday.end_min, workday.end_place)
    return lunch_fits(
        workday.lunch,
        [
            (a.end_min, drive(a.place, b.place), b.start_min)
            for a, b in pairwise([first, *route, last])
        ],
    )
