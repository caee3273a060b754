"""Joining what lies before a place and what lies behind it (timing.py): what an insertion costs."""

from .compiled import inlined
from .tables import State, Tables
from .timing import NEVER, ROUNDING, stretch_at


@inlined
def price_after(st: State, node: int, lunch: int, arrival: float) -> float:
    """Least price of `node` and all behind it when one arrives then; infinity: too late."""
    for k in range(st.by_count[node, lunch] - 1, -1, -1):
        if arrival <= ROUNDING - st.by_clock[node, lunch, k]:
            return st.by_price[node, lunch, k]
    return NEVER


@inlined
def price_between(
    tb: Tables, st: State, workday: int, before: int, visit: int, menu: int, to_visit: float,
    onward: float, most: float,
) -> float:  # fmt: skip
    """Price of all starts of the route with `visit` put behind `before`; infinity: no room.

    `to_visit`, `onward`: drives before and after it. Ways that cost `most` or more are not
    followed.
    """
    following = st.after[before]
    last, service = tb.menu_first[menu + 1], tb.service[visit]
    taken_by = st.latest[following, 1] - onward
    # Kept slots behind this place are discounts, so what follows may cost less than nothing.
    least_rest = 0.0
    for lunch in range(2):
        if st.by_count[following, lunch] > 0:
            cheapest_rest = st.by_price[following, lunch, st.by_count[following, lunch] - 1]
            least_rest = min(least_rest, cheapest_rest)
    for lunch in range(2):
        ready_by = st.latest[following, lunch] - onward
        if lunch == 0:
            ready_by = max(ready_by, taken_by - tb.lunch_minutes[workday])
        for k in range(st.ready_count[before, lunch]):
            paid = st.ready_price[before, lunch, k]
            arrival = st.ready_at[before, lunch, k] + to_visit
            cheapest = NEVER
            for s in range(stretch_at(tb, menu, arrival), last):
                if tb.stretch_to[s] < arrival:
                    continue
                ready = max(arrival, tb.stretch_from[s]) + service
                if ready > ready_by:
                    break
                if tb.stretch_price[s] >= cheapest - tb.epsilon:
                    continue
                cheapest = tb.stretch_price[s]
                if paid + cheapest + least_rest >= most:
                    continue
                rest = price_after(st, following, lunch, ready + onward)
                if lunch == 0:
                    lunch_at = max(ready, tb.lunch_earliest[workday])
                    if lunch_at <= tb.lunch_latest[workday]:
                        back = lunch_at + tb.lunch_minutes[workday]
                        rest = min(rest, price_after(st, following, 1, back + onward))
                most = min(most, paid + cheapest + rest)
    return most
