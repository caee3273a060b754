"""Repair: promised visits whose time turned too cold get another one, and nothing else is touched.

What matters, in this order: how many promises break, then what the planner's own prices say (cold
trips, driving, late days). A promise breaks when its customer has to come on another day or by more
than `Prices.kept_within_min` at another time; who drives does not break it.

For each cold visit, one of
- later the same day; by a little only, no promise breaks, and warm enough to stay is enough;
- a swap on the same day with work that has no customer's promise or needs no warmth;
- another day, with notice, in the customer's own windows, not past the due day;
- a hold.

Of the last three each breaks one promise: that of the cold visit, which cannot be kept. A swap with
another customer's promise would break two unless that one moves by a little only, and there is
always the hold, which breaks one; so such a swap is never chosen. This is meant: a hold is looked
at again with every outlook and released as soon as there is a free warm time, but a second promise
that is broken stays broken, and its customer had a time at which all would have been well.
Pencilled visits were told to nobody, so they give way; they are moved on the same day if they can.
"""

from collections.abc import Collection, Iterable, Sequence

from .board import Board
from .moves import Kind, Move, Policy, Proposal, proposal
from .openings import Opening
from .problem import Plan, Problem, Slot
from .ways import days_of, ways_of, windows_of


def repair(problem: Problem, cold: Collection[int], policy: Policy) -> list[Proposal]:
    """A proposal for each cold visit (by index), those with the least choice first.

    Every visit stands in its kept slot; the `fixed` ones are promised. Nothing is searched at
    random: the same problem gives the same proposals.
    """
    board, found = Board(problem), list[Proposal]()
    board.moved.update(cold)  # none of them makes room for another as well
    waiting = {visit: list(ways_of(board, visit, policy)) for visit in sorted(cold)}
    seen = {visit: list(board.changes) for visit in waiting}
    while waiting:
        visit = max(waiting, key=lambda v: (_regret(waiting[v]), -v))
        if _is_stale(board, waiting[visit][0], seen[visit]):
            waiting[visit], seen[visit] = list(ways_of(board, visit, policy)), list(board.changes)
            continue
        best = waiting.pop(visit)[0]
        board.carry_out(best.moves)
        found.append(best)
    return [_again(board, made, policy) for made in found]


def release(
    problem: Problem, held: Collection[int], policy: Policy, agreed: Collection[Proposal] = ()
) -> list[Proposal]:
    """The best free warm slot of each held visit that has one, after what is `agreed`."""
    in_turn = sorted(held, key=lambda v: (problem.visits[v].due_day or problem.days, v))
    return _into_free(problem, in_turn, policy, agreed, Kind.RELEASE, problem.least_warmth)


def fill(
    problem: Problem,
    waiting: Sequence[int],
    policy: Policy,
    agreed: Collection[Proposal],
    least_warmth: float,
) -> list[Proposal]:
    """Free slots that are at least so warm for visits that may come sooner, in their order."""
    return _into_free(problem, waiting, policy, agreed, Kind.FILL, least_warmth)


def _into_free(
    problem: Problem,
    visits: Iterable[int],
    policy: Policy,
    agreed: Collection[Proposal],
    kind: Kind,
    least_warmth: float,
) -> list[Proposal]:
    board, found = Board(problem), list[Proposal]()
    for other in agreed:
        board.carry_out(other.moves)
    for visit in visits:
        best = _best_opening(board, visit, policy, least_warmth)
        if best is not None:
            slot = Slot(visit, best.workday, best.start_min)
            found.append(
                proposal(problem, kind, Move(visit, board.slots[visit], slot), best.cost_min)
            )
            board.carry_out(found[-1].moves)
    return found


def _best_opening(board: Board, visit: int, policy: Policy, least_warmth: float) -> Opening | None:
    """Waiting a day longer costs like being a day late."""
    problem, wanted = board.problem, board.problem.visits[visit]
    windows = windows_of(problem, wanted, days_of(problem, visit, policy))
    openings = board.openings(wanted, windows, least_warmth=least_warmth, without={visit})
    day_min = problem.prices.late_day_min
    return min(
        openings,
        key=lambda o: o.cost_min + day_min * problem.workdays[o.workday].day,
        default=None,
    )


def repaired(problem: Problem, proposals: Collection[Proposal]) -> Plan:
    """The plan in which every proposal was agreed to."""
    slots = list(Board(problem).slots)
    for each in proposals:
        for move in each.moves:
            slots[move.visit] = move.after
    return Plan(tuple(slots))


def _regret(ways: list[Proposal]) -> float:
    """What it would cost to get the second best way instead; the only way goes first."""
    if len(ways) < 2:
        return float("inf")
    broken = ways[1].broken - ways[0].broken
    return 1e6 * broken + ways[1].cost_min - ways[0].cost_min


def _is_stale(board: Board, way: Proposal, seen: list[int]) -> bool:
    """Whether a workday that the way needs has changed since it was looked at."""
    slots = [slot for move in way.moves for slot in (move.before, move.after) if slot]
    return any(board.changes[slot.workday] != seen[slot.workday] for slot in slots)


def _again(board: Board, made: Proposal, policy: Policy) -> Proposal:
    """A held visit looks once more: others may have left a warm slot meanwhile."""
    if made.kind is not Kind.HOLD:
        return made
    visit, before = made.move.visit, made.move.before
    board.move(visit, before)
    best = next(iter(ways_of(board, visit, policy)))
    board.move(visit, None)
    if best.makes_room:
        return made
    board.carry_out(best.moves)
    return best
