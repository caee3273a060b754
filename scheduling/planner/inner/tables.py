"""What the inner loop reads and what it changes, as named arrays.

Nodes: visits are 0 .. N-1; workday w starts at node N + w and ends at node N + W + w, so that every
visit on a route always has a neighbour on both sides.
Shapes: N visits, W workdays, T technicians, D days, P places, Q places with known drives, M menus,
S stretches, K skill sets, G groups of visits, A nodes.
"""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Flags = npt.NDArray[np.bool_]

NEIGHBOURS = 40
LABELS = 8
"""Most (time, price) pairs kept for one node and lunch state; see timing.py."""
GRACE_MIN = 1e-4
"""Travel comes in single precision, so whoever arrives this much late is on time. Deadlines in the
tables are later by it; starts read off in the end are not."""
RUINS = 5
"""Ways of taking visits out; see ruin.py."""
ORDERS = 5
"""Orders of putting them back; see recreate.py."""


class Tables(NamedTuple):
    """The problem; never changed."""

    visits: int
    workdays: int
    even: bool  # every drive takes as long as the way back
    compact: bool  # drives are worked out from points; only those of known places are in `travel`
    travel: npt.NDArray[np.float32]  # [P, P] or [Q, Q] minutes from row to column
    travel_to: npt.NDArray[np.float32]  # the same turned: minutes to row from column
    row: Ints  # [P] row in `travel` of a known place, -1 for none (compact only)
    points_km: Floats  # [P, 3] (compact only)
    least_km: Floats  # [P] no straight line counts as shorter (compact only)
    roads: Floats  # [7] the figures of travel.Roads
    place: Ints  # [A]
    service: Floats  # [N] minutes
    skill_set: Ints  # [N]
    able: Flags  # [K, W]
    due_day: Ints  # [N]
    unplaced: Floats  # [N] price of leaving out
    load: Floats  # [N] what it takes up in the truck
    group: Ints  # [N] visits alike in how much they would rather have one day than another
    group_price: Floats  # [G, D] price of standing on a day
    wished: Ints  # [N] technician wished for, -1 for none
    fixed: Flags  # [N] never taken out
    near: Ints  # [N, <= 40] nearest visits that share a day, -1 where there are fewer
    menu_on: Ints  # [N, D] menu by day, -1 for none
    kept_workday: Ints  # [N] -1 for none
    menu_first: Ints  # [M + 1] first stretch of each menu
    menu_at: Ints  # [M, 48] the first stretch that reaches each half hour
    menu_price: Floats  # [M] least price on the menu
    stretch_from: Floats  # [S] minutes
    stretch_to: Floats  # [S] minutes
    stretch_price: Floats  # [S]
    day: Ints  # [W]
    by_day: Ints  # [W] the workdays in order of day
    start: Floats  # [W] minutes
    end: Floats  # [W] minutes
    lunch: Flags  # [W] whether one is owed
    lunch_earliest: Floats  # [W]
    lunch_latest: Floats  # [W]
    lunch_minutes: Floats  # [W]
    overtime: Ints  # [W] most quarter hours after the end
    room: Floats  # [W] what the truck holds
    technician: Ints  # [W]
    shares: Floats  # [W] one by the number of workdays of its technician
    closed: Flags  # [W] fixed visits clash: left as it is
    closed_price: Floats  # [W] overtime of such a day
    late_day: float  # price
    other_technician: float  # price
    overtime_quarter: float  # price
    uneven: float  # price of a minute between the longest and the shortest mean day
    epsilon: float  # waiting must save at least this much


class State(NamedTuple):
    """The plan being worked on, and all that is derived from it."""

    after: Ints  # [A] next node on the route
    before: Ints  # [A] previous node
    on: Ints  # [N] workday, -1 when left out
    hop: Floats  # [A] drive from the previous node
    ready_at: Floats  # [A, 2, LABELS] forward labels: ready to leave, by lunch state
    ready_price: Floats
    ready_count: Ints  # [A, 2]
    by_clock: Floats  # [A, 2, LABELS] backward labels: MINUS the latest arrival
    by_price: Floats
    by_count: Ints  # [A, 2]
    latest: Floats  # [A, 2] latest arrival whatever the price
    reach: Floats  # [A, 2] earliest time to be ready, latest arrival, by whichever lunch state
    gap: Ints  # [A] round in which a stop in front of the node was last taken out
    old_labels: Floats  # [2, 2, LABELS] those of one node, times and prices by lunch state
    old_count: Ints  # [2]
    spare: Floats  # [W] minutes left if nobody ever waits
    drive: Floats  # [W] travel of the route
    timing: Floats  # [W] price of its starts
    late: Floats  # [W] price of its late days, wished days and technicians
    load: Floats  # [W] what its visits take up in the truck
    busy: Floats  # [T] mean minutes a workday of driving and working
    count: Ints  # type: ignore[assignment]  # [W] visits; hides tuple.count, which nobody needs
    out: Ints  # [N] visits left out; the first figures[OUT] entries
    out_at: Ints  # [N] position in `out`, -1 when placed
    touched: Ints  # [W] workdays changed in this round
    price_before: Floats  # [W] what they cost before the round
    touched_mark: Ints  # [W] round in which the workday was last changed
    seen: Ints  # [W] search in which the workday was last looked at
    saved: Ints  # [2 N + W] routes as they were before the round
    saved_hop: Floats  # [2 N + W] and their drives
    saved_labels: Floats  # [N, 4, 2, LABELS] their labels
    saved_counts: Ints  # [N, 2, 2]
    saved_latest: Floats  # [N, 2]
    saved_day: Floats  # [W, 6] spare, drive, timing, late, load, visits of each touched workday
    saved_out: Ints  # [N]
    queue: Ints  # [N] visits to put back
    rank: Floats  # [N] their order
    asked: Ints  # [N] round in which a left-out visit was last put on the queue
    tried: Ints  # [W] workdays to try
    best_after: Ints  # [A] the best plan found
    best_on: Ints  # [N]
    weights: Floats  # [RUINS] how likely each ruin is
    gains: Floats  # [RUINS] what each has earned lately
    uses: Floats  # [RUINS]
    counters: npt.NDArray[np.int64]  # see the names below
    total: Floats  # [3] see the names below
    random: npt.NDArray[np.uint64]  # [1]


OUT, TOUCHED, SAVED, SAVED_OUT, ROUND, SEEN, TRIED, QUEUED = range(8)
"""Entries of State.counters."""
NOW, BEST, CHANGE, SPREAD = range(4)
"""Entries of State.total: price of the plan, of the best plan, what a round has changed so far in
the price of visits left out, and the price of uneven loads."""
QUARTER_MIN = 15.0
"""Overtime is paid by the started quarter of an hour."""


def new_state(tables: Tables, seed: int) -> State:
    """Every visit left out, every workday empty; routes still have to be refreshed."""
    n, w = tables.visits, tables.workdays
    nodes = n + 2 * w
    labels = (nodes, 2, LABELS)
    starts, ends = np.arange(n, n + w), np.arange(n + w, nodes)
    after, before = _ints(nodes, -1), _ints(nodes, -1)
    after[starts], before[ends] = ends, starts
    counters = np.zeros(8, np.int64)
    counters[OUT] = n
    fields: dict[str, Any] = {
        "after": after, "before": before, "on": _ints(n, -1), "hop": np.zeros(nodes),
        "ready_at": np.zeros(labels), "ready_price": np.zeros(labels),
        "ready_count": _ints((nodes, 2)),
        "by_clock": np.zeros(labels), "by_price": np.zeros(labels), "by_count": _ints((nodes, 2)),
        "latest": np.zeros((nodes, 2)), "reach": np.zeros((nodes, 2)),
        "gap": _ints(nodes),
        "old_labels": np.zeros((2, 2, LABELS)), "old_count": _ints(2),
        "spare": np.zeros(w), "drive": np.zeros(w), "timing": np.zeros(w), "late": np.zeros(w),
        "load": np.zeros(w), "busy": np.zeros(1 + max(tables.technician, default=0)),
        "count": _ints(w), "out": np.arange(n, dtype=np.int32),
        "out_at": np.arange(n, dtype=np.int32),
        "touched": _ints(w), "price_before": np.zeros(w),
        "touched_mark": _ints(w), "seen": _ints(w),
        "saved": _ints(2 * n + 2 * w), "saved_hop": np.zeros(2 * n + 2 * w),
        "saved_labels": np.zeros((n, 4, 2, LABELS)), "saved_counts": _ints((n, 2, 2)),
        "saved_latest": np.zeros((n, 2)), "saved_day": np.zeros((w, 6)),
        "saved_out": _ints(n), "queue": _ints(n),
        "rank": np.zeros(n), "asked": _ints(n), "tried": _ints(w),
        "best_after": after.copy(), "best_on": _ints(n, -1),
        "weights": np.ones(RUINS), "gains": np.zeros(RUINS), "uses": np.zeros(RUINS),
        "counters": counters, "total": np.zeros(4),
        "random": np.array([seed * 2 + 0x9E3779B97F4A7C15 & 0xFFFFFFFFFFFFFFFF], np.uint64),
    }  # fmt: skip
    return State(**fields)


def _ints(shape: int | tuple[int, ...], value: int = 0) -> Ints:
    return np.full(shape, value, np.int32)
