"""When to start each stop of a route: the best starts for a given order, found exactly.

Waiting costs nothing, but a later start may be warmer, so the earliest schedule is not the best.
Each node therefore keeps a few labels for what lies before it, "ready to leave at t for price c",
and for what lies behind it, "arrive by t and the rest costs c"; a later ready time is kept only if
it is cheaper. Joining the two sides (joining.py) prices an insertion without walking the route.

Labels come twice, by lunch state: 0 not yet taken, 1 taken (or none owed). Lunch is taken at a
boundary: before the first drive or right after a visit.
Backward labels run on a reversed clock (minus the latest arrival), so that for both kinds an
earlier label is the more permissive one and `add_label` serves both.
Source of the idea: piecewise linear forward and backward penalties, Hashimoto, Ibaraki, Imahori and
Yagiura 2006 (from memory); here the penalties are steps.
"""

from math import ceil

import numpy as np

from ..problem import BIN_MIN, HALF_HOURS
from .compiled import inlined
from .labels import add_label, as_remembered, remember
from .tables import QUARTER_MIN, State, Tables

NEVER = np.inf
ROUNDING = 1e-9
"""Minutes: forward and backward sums of the same times differ in their last digits."""


@inlined
def menu_for(tb: Tables, visit: int, workday: int) -> int:
    """The visit's menu of starts on a workday, -1 for none."""
    return tb.menu_on[visit, tb.day[workday]]


@inlined
def stretch_at(tb: Tables, menu: int, start: float) -> int:
    """Where on the menu to begin looking for a start then: the first stretch of its half hour."""
    half_hour = min(max(int(start * (1.0 / BIN_MIN)), 0), HALF_HOURS - 1)
    return tb.menu_at[menu, half_hour]


@inlined
def latest_start(tb: Tables, menu: int, limit: float) -> float:
    """The last start on the menu that is not after `limit`; minus infinity if there is none."""
    for s in range(tb.menu_first[menu + 1] - 1, tb.menu_first[menu] - 1, -1):
        if tb.stretch_from[s] <= limit:
            return min(limit, tb.stretch_to[s])
    return -NEVER


@inlined
def leave_by(tb: Tables, st: State, workday: int, node: int, lunch: int) -> float:
    """The latest time to be ready at `node` in a lunch state and still make the rest."""
    following = st.after[node]
    taken = st.latest[following, 1] - st.hop[following]
    if lunch == 1:
        return taken
    untaken = st.latest[following, 0] - st.hop[following]
    if tb.lunch[workday]:
        before_lunch = min(tb.lunch_latest[workday], taken - tb.lunch_minutes[workday])
        if before_lunch >= tb.lunch_earliest[workday]:
            untaken = max(untaken, before_lunch)
    return untaken


@inlined
def set_reach(st: State, node: int) -> None:
    """Kept together in memory, because every place looked at asks for them."""
    ready = NEVER
    for lunch in range(2):
        if st.ready_count[node, lunch] > 0:
            ready = min(ready, st.ready_at[node, lunch, 0])
    st.reach[node, 0] = ready
    st.reach[node, 1] = max(st.latest[node, 0], st.latest[node, 1])


@inlined
def set_ends(tb: Tables, st: State, workday: int) -> None:
    """Labels of the two ends of a workday, which no stop can change."""
    last = tb.visits + tb.workdays + workday
    latest = tb.end[workday] + QUARTER_MIN * tb.overtime[workday]
    st.latest[last, 1] = latest
    st.latest[last, 0] = -NEVER
    if tb.lunch[workday]:
        st.latest[last, 0] = min(latest, tb.lunch_latest[workday])
    first, start = tb.visits + workday, tb.start[workday]
    lunch_at = max(start, tb.lunch_earliest[workday])
    late_lunch = tb.lunch[workday] and lunch_at > tb.lunch_latest[workday]
    st.ready_at[first, 0, 0] = start
    st.ready_at[first, 1, 0] = lunch_at + tb.lunch_minutes[workday] if tb.lunch[workday] else start
    st.ready_count[first, 0] = 1 if tb.lunch[workday] else 0
    st.ready_count[first, 1] = 0 if late_lunch else 1
    for lunch in range(2):
        st.ready_price[first, lunch, 0] = 0.0
        _set_way_home(tb, st, workday, last, lunch)
    set_reach(st, first)
    set_reach(st, last)


@inlined
def _set_way_home(tb: Tables, st: State, workday: int, last: int, lunch: int) -> None:
    """Backward labels of the end: home in time for nothing, each quarter hour later for more."""
    count, latest = 0, st.latest[last, lunch]
    for quarters in range(tb.overtime[workday], -1, -1):
        begins = tb.end[workday] + QUARTER_MIN * (quarters - 1)
        if latest == -NEVER or (quarters > 0 and begins >= latest):
            continue
        st.by_clock[last, lunch, count] = -min(latest, begins + QUARTER_MIN)
        st.by_price[last, lunch, count] = tb.overtime_quarter * quarters
        count += 1
    st.by_count[last, lunch] = count


@inlined
def overtime_price(tb: Tables, workday: int, home_at: float) -> float:
    """Price of being home then."""
    if home_at <= tb.end[workday]:
        return 0.0
    return tb.overtime_quarter * ceil((home_at - tb.end[workday]) * (1.0 / QUARTER_MIN))


@inlined
def set_latest(tb: Tables, st: State, workday: int, node: int, anew: int) -> int:
    """Step 1: from `node` back, the latest arrival at every visit, whatever it costs.

    In all three steps: `anew` visits, and then on until one is found unchanged, for then all the
    others are. Steps 1 and 2 return how many visits they looked at.
    """
    done = 0
    while node < tb.visits:
        menu, same = menu_for(tb, node, workday), done >= anew
        done += 1
        for lunch in range(2):
            limit = leave_by(tb, st, workday, node, lunch) - tb.service[node]
            latest = latest_start(tb, menu, limit)
            same = same and latest == st.latest[node, lunch]
            st.latest[node, lunch] = latest
        set_reach(st, node)
        if same:
            break
        node = st.before[node]
    return done


@inlined
def set_ready(tb: Tables, st: State, workday: int, node: int, anew: int) -> int:
    """Step 2: from `node` on, forward labels, none later than the rest of the route allows."""
    done = 0
    while node < tb.visits:
        menu = menu_for(tb, node, workday)
        if done >= anew:
            remember(st, st.ready_at, st.ready_price, st.ready_count, node)
        for lunch in range(2):
            _set_ready(tb, st, workday, node, lunch, menu)
        if tb.lunch[workday]:
            _add_lunch(tb, st, workday, node)
        set_reach(st, node)
        done += 1
        if done > anew and as_remembered(st, st.ready_at, st.ready_price, st.ready_count, node):
            break
        node = st.after[node]
    return done


@inlined
def _set_ready(
    tb: Tables, st: State, workday: int, node: int, lunch: int, menu: int
) -> None:  # fmt: skip
    """For each label in front: the first possible start, and every later one that is cheaper."""
    previous = st.before[node]
    at, price = st.ready_at[node, lunch], st.ready_price[node, lunch]
    limit = leave_by(tb, st, workday, node, lunch) - tb.service[node]
    count = 0
    for k in range(st.ready_count[previous, lunch]):
        arrival = st.ready_at[previous, lunch, k] + st.hop[node]
        paid = st.ready_price[previous, lunch, k]
        cheapest = NEVER
        for s in range(stretch_at(tb, menu, arrival), tb.menu_first[menu + 1]):
            if tb.stretch_to[s] < arrival:
                continue
            begin = max(arrival, tb.stretch_from[s])
            if begin > limit:
                break
            if tb.stretch_price[s] < cheapest - tb.epsilon:
                cheapest = tb.stretch_price[s]
                ready = begin + tb.service[node]
                count = add_label(at, price, count, ready, paid + cheapest, tb.epsilon)
    st.ready_count[node, lunch] = count


@inlined
def _add_lunch(tb: Tables, st: State, workday: int, node: int) -> None:
    """Lunch right after `node`: labels of state 0 give labels of state 1."""
    at, price = st.ready_at[node, 1], st.ready_price[node, 1]
    count = st.ready_count[node, 1]
    limit = leave_by(tb, st, workday, node, 1)
    for k in range(st.ready_count[node, 0]):
        begin = max(st.ready_at[node, 0, k], tb.lunch_earliest[workday])
        ready = begin + tb.lunch_minutes[workday]
        if begin <= tb.lunch_latest[workday] and ready <= limit:
            count = add_label(at, price, count, ready, st.ready_price[node, 0, k], tb.epsilon)
    st.ready_count[node, 1] = count


@inlined
def set_by(tb: Tables, st: State, workday: int, node: int, anew: int) -> None:
    """Step 3: from `node` back, backward labels, none earlier than the stops before allow."""
    while node < tb.visits:
        menu, following = menu_for(tb, node, workday), st.after[node]
        if anew <= 0:
            remember(st, st.by_clock, st.by_price, st.by_count, node)
        for lunch in range(2):
            count = 0
            for k in range(st.by_count[following, lunch]):
                ready_by = -st.by_clock[following, lunch, k] - st.hop[following]
                paid = st.by_price[following, lunch, k]
                count = _add_starts(tb, st, node, lunch, menu, count, ready_by, paid)
            if lunch == 0 and tb.lunch[workday]:
                count = _add_lunch_before(tb, st, workday, node, menu, count)
            st.by_count[node, lunch] = count
        if anew <= 0 and as_remembered(st, st.by_clock, st.by_price, st.by_count, node):
            return
        anew -= 1
        node = st.before[node]


@inlined
def _add_lunch_before(
    tb: Tables, st: State, workday: int, node: int, menu: int, count: int
) -> int:  # fmt: skip
    """Backward labels of `node` in state 0 that take lunch right after it."""
    following = st.after[node]
    for k in range(st.by_count[following, 1]):
        resume_by = -st.by_clock[following, 1, k] - st.hop[following]
        ready_by = min(tb.lunch_latest[workday], resume_by - tb.lunch_minutes[workday])
        if ready_by >= tb.lunch_earliest[workday]:
            paid = st.by_price[following, 1, k]
            count = _add_starts(tb, st, node, 0, menu, count, ready_by, paid)
    return count


@inlined
def _add_starts(
    tb: Tables, st: State, node: int, lunch: int, menu: int, count: int, ready_by: float,
    paid: float,
) -> int:  # fmt: skip
    """Backward labels of `node` for one deadline: every start that is cheaper than later ones."""
    before = st.before[node]
    arrival = NEVER
    if st.ready_count[before, lunch] > 0:
        arrival = st.ready_at[before, lunch, 0] + st.hop[node]
    start_by = ready_by - tb.service[node]
    at, price = st.by_clock[node, lunch], st.by_price[node, lunch]
    cheapest = NEVER
    for s in range(tb.menu_first[menu + 1] - 1, tb.menu_first[menu] - 1, -1):
        if tb.stretch_from[s] > start_by:
            continue
        latest = min(start_by, tb.stretch_to[s])
        if latest < arrival:
            break
        if tb.stretch_price[s] < cheapest - tb.epsilon:
            cheapest = tb.stretch_price[s]
            count = add_label(at, price, count, -latest, paid + cheapest, tb.epsilon)
    return count
