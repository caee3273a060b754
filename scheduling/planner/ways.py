"""All that can be done for one visit whose time turned too cold, the best first."""

from collections.abc import Collection, Iterator

from .board import Board, Windows
from .moves import Kind, Move, Policy, Proposal, breaks, proposal
from .openings import Opening
from .problem import Problem, Slot, Visit

GIVES_WAY_MIN = 30.0
"""Price of a pencilled visit left without a slot until the next plan: a quarter of a cold trip
(choice of this project), so that a time that is quite free comes first."""


Reach = dict[int, tuple[float, float]]
"""Day -> first and last start that may be asked for."""


def ways_of(board: Board, visit: int, policy: Policy) -> list[Proposal]:
    """All that can be done for a cold visit, the best first; the hold is always there."""
    problem, before = board.problem, board.slots[visit]
    assert before is not None
    ways = [*_a_little_later(board, before, policy), *_free(board, before, policy)]
    ways += _swaps(board, before)
    if not any(way.broken == 1 and not way.makes_room for way in ways):
        ways += _over_pencilled(board, before, policy)
    unplaced_min = problem.visits[visit].unplaced_min
    ways.append(proposal(problem, Kind.HOLD, Move(visit, before, None), unplaced_min))
    return sorted(ways, key=lambda way: (way.broken, way.cost_min))


def _a_little_later(board: Board, before: Slot, policy: Policy) -> Iterator[Proposal]:
    """By so little that the promise is kept."""
    problem = board.problem
    visit, day = problem.visits[before.visit], problem.workdays[before.workday].day
    last_min = before.start_min + problem.prices.kept_within_min
    windows = windows_of(problem, visit, {day: (before.start_min + 1.0, last_min)})
    for opening in board.openings(
        visit, windows, least_warmth=policy.hold_limit, without={before.visit},
        only=[before.workday],
    ):  # fmt: skip
        yield _into(board, before, opening)


def _free(
    board: Board, before: Slot, policy: Policy, without: Collection[int] = ()
) -> Iterator[Proposal]:
    """Openings later that day and on other days."""
    problem = board.problem
    visit, day = problem.visits[before.visit], problem.workdays[before.workday].day
    days = days_of(problem, before.visit, policy) | _later(before, day)
    windows = windows_of(problem, visit, days)
    for opening in board.openings(
        visit, windows, least_warmth=problem.least_warmth, without={before.visit, *without}
    ):
        yield _into(board, before, opening)


def _swaps(board: Board, before: Slot) -> Iterator[Proposal]:
    """Later the same day in the time of a visit that gives way without a broken promise."""
    problem = board.problem
    visit, day = problem.visits[before.visit], problem.workdays[before.workday].day
    windows = windows_of(problem, visit, _later(before, day))
    for workday in problem.workdays_by_day[day]:
        for partner in list(board.on[workday]):
            if partner == before.visit or not _may_give_way(board, partner):
                continue
            for opening in board.openings(
                visit, windows, least_warmth=problem.least_warmth,
                without={before.visit, partner}, only=[workday],
            ):  # fmt: skip
                yield from _swapped(board, before, opening, partner)


def _may_give_way(board: Board, partner: int) -> bool:
    """Pencilled work, and promised work that needs no warmth if it moves by a little; once."""
    visit = board.problem.visits[partner]
    return partner not in board.moved and (not visit.fixed or visit.warmth_class is None)


def _swapped(board: Board, before: Slot, opening: Opening, partner: int) -> Iterator[Proposal]:
    """The partner's best new slot beside the visit that took its time; none: no swap."""
    problem, own = board.problem, board.slots[partner]
    assert own is not None
    other, day = problem.visits[partner], problem.workdays[own.workday].day
    within = problem.prices.kept_within_min
    reach = (own.start_min - within, own.start_min + within) if other.fixed else (0.0, 1440.0)
    after = Slot(before.visit, opening.workday, opening.start_min)
    board.move(partner, None)
    board.move(before.visit, after)
    found = board.openings(
        other, windows_of(problem, other, {day: reach}), least_warmth=problem.least_warmth,
        only=[own.workday] if other.fixed else None,
    )  # fmt: skip
    board.move(before.visit, before)
    board.move(partner, own)
    for there in found:
        move = Move(partner, own, Slot(partner, there.workday, there.start_min))
        if not breaks(problem, move):
            yield _into(board, before, opening, (move,), there.cost_min)


def _over_pencilled(board: Board, before: Slot, policy: Policy) -> Iterator[Proposal]:
    """Times that pencilled visits stand in the way of, when none is quite free."""
    visits = board.problem.visits
    pencilled = {
        v for v, slot in enumerate(board.slots)
        if slot is not None and not visits[v].fixed and v not in {before.visit, *board.moved}
    }  # fmt: skip
    if not pencilled:
        return
    for way in _free(board, before, policy, pencilled):
        assert way.move.after is not None
        board.move(before.visit, None)
        gone = board.in_the_way(way.move.after, pencilled)
        board.move(before.visit, before)
        moves = tuple(Move(v, board.slots[v], None) for v in gone)
        cost_min = way.cost_min + GIVES_WAY_MIN * len(gone)
        yield proposal(board.problem, way.kind, way.move, cost_min, moves)


def _into(
    board: Board, before: Slot, opening: Opening, makes_room: tuple[Move, ...] = (),
    room_min: float = 0.0,
) -> Proposal:  # fmt: skip
    """Later, a swap or another day; waiting for another day costs like being late."""
    problem = board.problem
    move = Move(before.visit, before, Slot(before.visit, opening.workday, opening.start_min))
    days = abs(_day(problem, opening) - problem.workdays[before.workday].day)
    kind = Kind.ANOTHER_DAY if days else Kind.SWAP if makes_room else Kind.LATER
    cost_min = opening.cost_min + room_min + problem.prices.late_day_min * days
    cost_min += sum(problem.visits[other.visit].move_min for other in makes_room)
    return proposal(problem, kind, move, cost_min, makes_room)


def _day(problem: Problem, opening: Opening) -> int:
    return problem.workdays[opening.workday].day


def _later(before: Slot, day: int) -> Reach:
    return {day: (before.start_min + 1.0, 1440.0)}


def days_of(problem: Problem, visit: int, policy: Policy) -> Reach:
    """The days on which the visit may be promised another time: with notice, and not late."""
    wanted = problem.visits[visit]
    first = 0 if visit in policy.at_short_notice else policy.notice_day
    last = min(policy.last_day, problem.days - 1)
    if wanted.due_day is not None:
        kept = 0 if wanted.kept is None else problem.workdays[wanted.kept.workday].day
        # What is overdue already is not held for that.
        if max(wanted.due_day, kept) >= first:
            last = min(last, max(wanted.due_day, kept))
    return dict.fromkeys(range(max(first, wanted.due_from_day), last + 1), (0.0, 1440.0))


def windows_of(problem: Problem, visit: Visit, reach: Reach) -> Windows:
    """The customer's own windows, as far as `reach` allows."""
    found: Windows = {}
    for day, (first, last) in reach.items():
        for earliest, latest in problem.windows_on(visit, day):
            if max(first, earliest) <= min(last, latest):
                found.setdefault(day, []).append((max(first, earliest), min(last, latest)))
    return found
