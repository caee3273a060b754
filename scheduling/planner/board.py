"""The slots as they stand, workday by workday, while a repair moves some of them."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from .course import CLOSE_MIN, boundaries, lunch_fits
from .moves import Move
from .openings import Opening, TakenSlot, openings
from .problem import Plan, Problem, Slot, Visit, Window
from .rules import able

Windows = dict[int, list[tuple[float, float]]]
"""Day -> the stretches of it in which a start is wanted."""


class Board:
    """Every visit's slot, to be asked for openings and changed; begins with the kept ones."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.slots: list[Slot | None] = [
            None if visit.kept is None else Slot(index, visit.kept.workday, visit.kept.start_min)
            for index, visit in enumerate(problem.visits)
        ]
        self.routes: list[list[TakenSlot]] = [[] for _ in problem.workdays]
        self.on: list[list[int]] = [[] for _ in problem.workdays]
        # Visits that moved or will: they do not move a second time to make room.
        self.moved: set[int] = set()
        # How often each workday was changed, so that what was read of it is known to be stale.
        self.changes = [0] * len(problem.workdays)
        for workday, slots in Plan(tuple(self.slots)).by_workday().items():
            self.on[workday] = [slot.visit for slot in slots]
            self._reread(workday)

    @property
    def plan(self) -> Plan:
        return Plan(tuple(self.slots))

    def taken(self, slot: Slot) -> TakenSlot:
        visit = self.problem.visits[slot.visit]
        return TakenSlot(slot.start_min, slot.start_min + visit.service_min, visit.place)

    def move(self, visit: int, after: Slot | None) -> None:
        """Take the visit out of its slot and put it into another, or into none."""
        before = self.slots[visit]
        self.slots[visit] = after
        if before is not None:
            self.on[before.workday].remove(visit)
            self._reread(before.workday)
        if after is not None:
            self.on[after.workday].append(visit)
            self._reread(after.workday)

    def _reread(self, workday: int) -> None:
        slots = [slot for v in self.on[workday] if (slot := self.slots[v]) is not None]
        slots.sort(key=lambda slot: slot.start_min)
        self.on[workday] = [slot.visit for slot in slots]
        self.routes[workday] = [self.taken(slot) for slot in slots]

    def carry_out(self, moves: Sequence[Move]) -> None:
        """All leave first, for two visits may trade places; each of them moves once."""
        self.moved.update(move.visit for move in moves)
        for move in moves:
            self.move(move.visit, None)
        for move in moves:
            self.move(move.visit, move.after)
            for slot in (move.before, move.after):
                if slot is not None:
                    self.changes[slot.workday] += 1

    def openings(
        self,
        visit: Visit,
        windows: Windows,
        *,
        least_warmth: float,
        without: Collection[int] = (),
        only: Sequence[int] | None = None,
    ) -> list[Opening]:
        """The best opening of each half day within `windows`, as if `without` had no slot.

        `only`: workdays to look at; None looks at all of them.
        """
        routes: dict[int, list[TakenSlot]] = {}
        for index in range(len(self.problem.workdays)) if only is None else only:
            if self.problem.workdays[index].day in windows:
                route = self._route(index, without)
                if self._may_hold(index, route, visit):
                    routes[index] = route
        if not routes:
            return []
        looked_at = list(routes)
        narrowed = replace(
            self.problem,
            workdays=tuple(self.problem.workdays[index] for index in looked_at),
            visits=(),
            together=(),
            least_warmth=least_warmth,
        )
        wanted = tuple(
            Window(day, first, last) for day, some in windows.items() for first, last in some
        )
        loose = replace(visit, windows=wanted, kept=None, fixed=False)
        stops = dict(enumerate(routes.values()))
        found = openings(narrowed, loose, stops, self.problem.drive_min)
        return [replace(opening, workday=looked_at[opening.workday]) for opening in found]

    def _route(self, workday: int, without: Collection[int]) -> list[TakenSlot]:
        if not any(visit in without for visit in self.on[workday]):
            return self.routes[workday]
        pairs = zip(self.on[workday], self.routes[workday], strict=True)
        return [taken for visit, taken in pairs if visit not in without]

    def _may_hold(self, index: int, route: list[TakenSlot], visit: Visit) -> bool:
        """Skill, and a gap as long as the work: most days of a full season end here."""
        workday = self.problem.workdays[index]
        if not able(visit, workday):
            return False
        begins = [workday.start_min, *(taken.end_min for taken in route)]
        ends = [*(taken.start_min for taken in route), workday.end_min]
        return any(
            end - begin >= visit.service_min for begin, end in zip(begins, ends, strict=True)
        )

    def in_the_way(self, slot: Slot, movable: Collection[int]) -> list[int]:
        """Which of the movable visits of the day cannot stay beside a new slot."""
        standing = [self.slots[v] for v in self.on[slot.workday] if v not in movable]
        kept = [s for s in standing if s is not None] + [slot]
        gone = []
        for visit in self.on[slot.workday]:
            own = self.slots[visit]
            if visit not in movable or own is None:
                continue
            if self._fits(slot.workday, [*kept, own]):
                kept.append(own)
            else:
                gone.append(visit)
        return gone

    def _fits(self, index: int, slots: list[Slot]) -> bool:
        workday = self.problem.workdays[index]
        slots = sorted(slots, key=lambda slot: slot.start_min)
        course = boundaries(self.problem, workday, slots)
        late = any(ready + drive > due + CLOSE_MIN for ready, drive, due in course)
        return not late and (workday.lunch is None or lunch_fits(workday.lunch, course))
