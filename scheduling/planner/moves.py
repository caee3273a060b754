"""What a repair proposes: moves of visits, and how many promises each of them breaks."""

from dataclasses import dataclass, field
from enum import StrEnum

from .problem import Problem, Slot
from .score import warmth_of


class Kind(StrEnum):
    LATER = "later"
    SWAP = "swap"
    ANOTHER_DAY = "another_day"
    HOLD = "hold"
    RELEASE = "release"
    FILL = "fill"


@dataclass(frozen=True, slots=True)
class Policy:
    """`hold_limit`: warmth at which a promise may stay. From `notice_day` to `last_day` other times
    are promised; `at_short_notice` (visits by index) may come from the first day on.
    """

    hold_limit: float
    notice_day: int
    last_day: int
    at_short_notice: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Move:
    """A visit's slot before and after; None: it has none."""

    visit: int
    before: Slot | None
    after: Slot | None


@dataclass(frozen=True, slots=True)
class Proposal:
    """One move with those that only make room for it. A warmth is None without a slot, and
    for work that needs none."""

    kind: Kind
    move: Move
    makes_room: tuple[Move, ...] = ()
    broken: int = 0
    cost_min: float = field(default=0.0, compare=False)
    warmth_before: float | None = None
    warmth_after: float | None = None

    @property
    def moves(self) -> tuple[Move, ...]:
        return (self.move, *self.makes_room)


def breaks(problem: Problem, move: Move) -> bool:
    """Whether the move breaks a promise."""
    if not problem.visits[move.visit].fixed or move.before is None or move.before == move.after:
        return False
    if move.after is None:
        return True
    days = {problem.workdays[slot.workday].day for slot in (move.before, move.after)}
    later_min = abs(move.after.start_min - move.before.start_min)
    return len(days) > 1 or later_min > problem.prices.kept_within_min


def proposal(
    problem: Problem, kind: Kind, move: Move, cost_min: float, makes_room: tuple[Move, ...] = ()
) -> Proposal:
    return Proposal(
        kind=kind,
        move=move,
        makes_room=makes_room,
        broken=sum(breaks(problem, each) for each in (move, *makes_room)),
        cost_min=cost_min,
        warmth_before=_warmth(problem, move.before),
        warmth_after=_warmth(problem, move.after),
    )


def _warmth(problem: Problem, slot: Slot | None) -> float | None:
    if slot is None or problem.visits[slot.visit].warmth_class is None:
        return None
    return warmth_of(problem, slot)
