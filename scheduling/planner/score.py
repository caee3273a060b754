"""What a plan costs, term by term, in plain arithmetic.

The one definition of the cost: the search, the benchmarks, the screens and the tests all use it.
The compiled search keeps the same sum step by step; a test holds the two together.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from .course import boundaries, overtime_min
from .problem import BIN_MIN, HALF_HOURS, KeptSlot, Plan, Problem, Slot, Visit


@dataclass(frozen=True, slots=True)
class Term:
    """One part of the cost: `amount` in `unit`, worth `minutes` together.

    `weight`: minutes for one unit; None where each visit carries its own price.
    """

    name: str
    amount: float
    unit: str
    weight: float | None
    minutes: float


@dataclass(frozen=True, slots=True)
class Score:
    """The cost of a plan in minutes (lower is better) and the terms that add up to it."""

    total_min: float
    terms: tuple[Term, ...]
    placed: int

    def term(self, name: str) -> Term:
        return next(term for term in self.terms if term.name == name)

    @property
    def travel_min(self) -> float:
        return self.term("travel").amount

    @property
    def cold_trips(self) -> float:
        """Expected number of placed visits that will find it too cold."""
        return self.term("cold trips").amount


def score(problem: Problem, plan: Plan) -> Score:
    """The cost of `plan`, worked out from nothing but its slots."""
    placed = [slot for slot in plan.slots if slot is not None]
    left_out = [v for v, slot in zip(problem.visits, plan.slots, strict=True) if slot is None]
    moved = [
        v
        for v, slot in zip(problem.visits, plan.slots, strict=True)
        if moved_price(problem, v, slot)
    ]
    prices = problem.prices
    terms = (
        _weighted("travel", travel(problem, plan), "min", 1.0),
        _weighted(
            "cold trips",
            sum(1 - warmth_of(problem, slot) for slot in placed),
            "trips",
            prices.cold_trip_min,
        ),
        _weighted(
            "late days",
            sum(late_days(problem, slot) for slot in placed),
            "days",
            prices.late_day_min,
        ),
        _own_prices("moved", [visit.move_min for visit in moved]),
        _own_prices("unplaced", [visit.unplaced_min for visit in left_out]),
        *_wishes(problem, plan),
    )
    return Score(sum(term.minutes for term in terms), terms, len(placed))


def _wishes(problem: Problem, plan: Plan) -> Iterator[Term]:
    """The terms of wishes that have a price."""
    prices, placed = problem.prices, [slot for slot in plan.slots if slot is not None]
    if prices.overtime_min:
        yield _weighted("overtime", overtime(problem, plan), "min", prices.overtime_min)
    if prices.other_technician_min:
        others = sum(other_technician(problem, slot) for slot in placed)
        yield _weighted("other technician", others, "visits", prices.other_technician_min)
    if prices.off_area_day_min:
        off = sum(off_area_day(problem, problem.visits[s.visit], _day(problem, s)) for s in placed)
        yield _weighted("off area day", off, "visits", prices.off_area_day_min)
    if prices.after_heat_min and problem.heat_day is not None:
        late = sum(after_heat(problem, i, slot) for i, slot in enumerate(plan.slots))
        yield _weighted("after the heat", late, "checks", prices.after_heat_min)
    if prices.uneven_min:
        yield _weighted("uneven days", uneven(problem, plan), "min", prices.uneven_min)


def overtime(problem: Problem, plan: Plan) -> float:
    """Minutes after the end of the shift, in started quarters of an hour."""
    routes = plan.by_workday().items()
    return sum(overtime_min(problem, problem.workdays[w], slots) for w, slots in routes)


def other_technician(problem: Problem, slot: Slot) -> bool:
    """Whether the visit wishes for a technician and gets another one."""
    wished = problem.visits[slot.visit].wished_technician
    return wished is not None and wished != problem.workdays[slot.workday].technician


def off_area_day(problem: Problem, visit: Visit, day: int) -> bool:
    """Whether the visit's area has days of its own and this is none of them."""
    days = problem.area_days.get(visit.area) if visit.area is not None else None
    return days is not None and day not in days


def after_heat(problem: Problem, visit: int, slot: Slot | None) -> bool:
    """Whether a cooling check (by index) misses the days before the heat."""
    if problem.heat_day is None or problem.visits[visit].warmth_class is None:
        return False
    return slot is None or _day(problem, slot) > problem.heat_day


def uneven(problem: Problem, plan: Plan) -> float:
    """Minutes between the technicians with the longest and the shortest mean workday."""
    busy: dict[int | str, float] = {}
    days: dict[int | str, int] = {}
    routes = plan.by_workday()
    for index, workday in enumerate(problem.workdays):
        slots = routes.get(index, [])
        drives = boundaries(problem, workday, slots) if slots else ()
        minutes = sum(problem.visits[s.visit].service_min for s in slots)
        minutes += sum(drive for _, drive, _ in drives)
        busy[workday.technician] = busy.get(workday.technician, 0.0) + minutes
        days[workday.technician] = days.get(workday.technician, 0) + 1
    means = [busy[technician] / days[technician] for technician in busy]
    return max(means, default=0.0) - min(means, default=0.0)


def _day(problem: Problem, slot: Slot) -> int:
    return problem.workdays[slot.workday].day


def travel(problem: Problem, plan: Plan) -> float:
    """Minutes of driving, from each worked day's start place to its end place."""
    total = 0.0
    for index, slots in plan.by_workday().items():
        workday = problem.workdays[index]
        stops = [problem.visits[slot.visit].place for slot in slots]
        places = [workday.start_place, *stops, workday.end_place]
        total += sum(problem.drive_min(a, b) for a, b in pairwise(places))
    return total


def warmth_of(problem: Problem, slot: Slot) -> float:
    """Probability that the visit is warm enough in this slot; 1 where none is needed."""
    visit = problem.visits[slot.visit]
    return warmth_at(problem, visit, problem.workdays[slot.workday].day, slot.start_min)


def warmth_at(problem: Problem, visit: Visit, day: int, start_min: float) -> float:
    """The same for a start that is not in a plan; 0 past midnight, where nothing is known."""
    if visit.warmth_class is None:
        return 1.0
    half_hour = int(start_min // BIN_MIN)
    if not 0 <= half_hour < HALF_HOURS:
        return 0.0
    return float(problem.warmth[visit.warmth_class, day, half_hour])


def late_days(problem: Problem, slot: Slot) -> int:
    due_day = problem.visits[slot.visit].due_day
    return 0 if due_day is None else max(0, problem.workdays[slot.workday].day - due_day)


def moved_price(problem: Problem, visit: Visit, slot: Slot | None) -> float:
    """`move_min` when the visit had a slot and is no longer in it, else 0."""
    if visit.kept is None or (slot is not None and is_kept(problem, visit.kept, slot)):
        return 0.0
    return visit.move_min


def is_kept(problem: Problem, kept: KeptSlot, slot: Slot) -> bool:
    return is_kept_at(problem, kept, _day(problem, slot), slot.start_min)


def is_kept_at(problem: Problem, kept: KeptSlot, day: int, start_min: float) -> bool:
    """The customer was told a time: whoever comes at that time keeps it."""
    shift_min = abs(start_min - kept.start_min)
    same_day = day == problem.workdays[kept.workday].day
    return same_day and shift_min <= problem.prices.kept_within_min


def _weighted(name: str, amount: float, unit: str, weight: float) -> Term:
    return Term(name, amount, unit, weight, amount * weight)


def _own_prices(name: str, prices_min: list[float]) -> Term:
    return Term(name, len(prices_min), "visits", None, sum(prices_min))
