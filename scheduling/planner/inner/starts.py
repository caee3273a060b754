"""Reading the best starts off the labels: one walk along a route."""

import numpy as np

from .compiled import compiled, inlined
from .joining import price_after
from .tables import GRACE_MIN, Floats, State, Tables
from .timing import ROUNDING, menu_for


@compiled
def read_starts(tb: Tables, st: State, workday: int, starts: Floats) -> None:
    """Write the start of every visit of a refreshed workday into `starts` [N].

    At each stop the start (and lunch or none behind it) is taken that makes it and the rest
    cheapest; of equals the earliest.
    """
    node, lunch, ready = _set_off(tb, st, workday)
    node = st.after[node]
    while node < tb.visits:
        following = st.after[node]
        arrival = ready + st.hop[node]
        menu = menu_for(tb, node, workday)
        best, start, lunch_after, ready_after = np.inf, arrival, lunch, arrival
        for s in range(tb.menu_first[menu], tb.menu_first[menu + 1]):
            if arrival > tb.stretch_to[s] + ROUNDING:
                continue
            begin = min(max(arrival, tb.stretch_from[s]), tb.stretch_to[s] - GRACE_MIN)
            ready = begin + tb.service[node]
            rest = price_after(st, following, lunch, ready + st.hop[following])
            if tb.stretch_price[s] + rest < best:
                best, start = tb.stretch_price[s] + rest, begin
                lunch_after, ready_after = lunch, ready
            lunch_at = max(ready, tb.lunch_earliest[workday])
            if lunch == 0 and lunch_at <= tb.lunch_latest[workday]:
                back = lunch_at + tb.lunch_minutes[workday]
                rest = price_after(st, following, 1, back + st.hop[following])
                if tb.stretch_price[s] + rest < best:
                    best, start = tb.stretch_price[s] + rest, begin
                    lunch_after, ready_after = 1, back
        starts[node] = start
        lunch, ready = lunch_after, ready_after
        node = following


@inlined
def _set_off(tb: Tables, st: State, workday: int) -> tuple[int, int, float]:
    """Start node, lunch state and time of leaving: before the first drive lunch may be taken."""
    node = tb.visits + workday
    first = st.after[node]
    best, lunch_taken = np.inf, 1
    for lunch in range(2):
        if st.ready_count[node, lunch] > 0:
            arrival = st.ready_at[node, lunch, 0] + st.hop[first]
            price = price_after(st, first, lunch, arrival)
            if price < best:
                best, lunch_taken = price, lunch
    return node, lunch_taken, st.ready_at[node, lunch_taken, 0]
