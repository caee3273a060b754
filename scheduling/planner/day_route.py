"""One technician's day in the best order, proven: all orders at once by dynamic programming.

For every set of stops and every last stop (Held and Karp 1962) the search of this file keeps the
pairs (ready to leave, price so far) that no other pair beats, with lunch taken or not yet. Up to 12
stops; the number of sets doubles with each.
"""

from dataclasses import dataclass

import numpy as np

from .inner.anneal import refresh_all
from .inner.compiled import compiled, inlined
from .inner.drives import drive
from .inner.loading import link
from .inner.tables import Floats, Ints, Tables, new_state
from .inner.timing import menu_for, overtime_price, stretch_at
from .problem import Problem
from .tables import tables_of

MOST_STOPS = 12
POLISHED_STOPS = 9
"""A finished plan has every day of up to this many stops in its best order: some ms a day."""
ROUNDING_MIN = 1e-6
LABELS = 32
"""Most pairs kept for one set, last stop and lunch state. If ever more are needed, the order found
is not called proven."""


@dataclass(frozen=True, slots=True)
class DayRoute:
    """Visits (by index) in order and what drives and starts cost; `proven`: none is cheaper."""

    order: tuple[int, ...]
    price_min: float
    proven: bool


def best_day(problem: Problem, workday: int, visits: list[int]) -> DayRoute | None:
    """The cheapest order of these visits (by index) on a workday; None when they do not fit.

    The price is that of travel, warmth, moved promises and overtime, as the search counts it: a
    kept slot is a discount of `move_min`. ValueError for more than MOST_STOPS.
    """
    return best_order(tables_of(problem)._replace(epsilon=0.0), workday, visits)


def best_order(
    tables: Tables, workday: int, visits: list[int], most: float = np.inf
) -> DayRoute | None:
    """The same for a problem whose tables are there already. `most`: a price known to be reached;
    what must become dearer is not followed. Without one a first pass finds it."""
    if len(visits) > MOST_STOPS:
        raise ValueError(f"At most {MOST_STOPS} stops can be ordered, not {len(visits)}.")
    wanted = np.array(visits, np.int32)
    room, order = _Room.of(len(visits)), np.zeros(len(visits), np.int32)
    parts = room.at, room.price, room.come_from, room.count, room.rest
    price, kept = _best_order(tables, workday, wanted, most, *parts, order)
    if not kept and price < most:
        price, kept = _best_order(tables, workday, wanted, price, *parts, order)
    if price == np.inf:
        return None
    return DayRoute(tuple(int(visit) for visit in order), price, kept)


@dataclass(frozen=True)
class _Room:
    """Pairs by (set x last stop x lunch): when, what for, and where from. `rest`: by set, the least
    that all stops not in it can cost."""

    at: Floats
    price: Floats
    come_from: Ints
    count: Ints
    rest: Floats

    @staticmethod
    def of(stops: int) -> "_Room":
        states = (1 << stops) * max(stops, 1) * 2
        shape = states, LABELS
        empty = np.empty(shape), np.empty(shape), np.empty(shape, np.int32)
        return _Room(*empty, np.zeros(states, np.int32), np.empty(1 << stops))


@compiled
def _best_order(
    tb: Tables, workday: int, visits: Ints, most: float, at: Floats, price: Floats,
    come_from: Ints, count: Ints, rest: Floats, order: Ints,
) -> tuple[float, bool]:  # fmt: skip
    """Fill `order`; the price (infinity: no order fits) and whether every pair could be kept."""
    stops, kept = visits.shape[0], True
    for state in range(count.shape[0]):
        count[state] = 0
    _least_rest(tb, workday, visits, rest)
    most += ROUNDING_MIN
    home, end = tb.place[tb.visits + workday], tb.place[tb.visits + tb.workdays + workday]
    # 1. From the start to each first stop, lunch taken before or not.
    for k in range(stops):
        there = drive(tb, home, tb.place[visits[k]])
        for lunch in range(2):
            ready = _set_off(tb, workday, lunch)
            state = ((1 << k) * stops + k) * 2 + lunch
            if ready < np.inf:
                kept &= _arrive(
                    tb, workday, visits[k], end, ready + there, there, most - rest[1 << k], -1,
                    state, at, price, come_from, count,
                )  # fmt: skip
    # 2. From every set to every larger one; sets in rising order, so each is complete when read.
    for taken in range(1, 1 << stops):
        for last in range(stops):
            if not taken >> last & 1:
                continue
            base = (taken * stops + last) * 2
            kept &= _eat(tb, workday, base, at, price, come_from, count)
            for k in range(stops):
                if taken >> k & 1:
                    continue
                there = drive(tb, tb.place[visits[last]], tb.place[visits[k]])
                for lunch in range(2):
                    target = (((taken | 1 << k) * stops) + k) * 2 + lunch
                    for n in range(count[base + lunch]):
                        kept &= _arrive(
                            tb, workday, visits[k], end, at[base + lunch, n] + there,
                            price[base + lunch, n] + there, most - rest[taken | 1 << k],
                            (base + lunch) * LABELS + n, target, at, price, come_from, count,
                        )  # fmt: skip
    # 3. Home, and back along where each pair came from.
    best, label = _way_home(tb, workday, visits, end, at, price, count)
    position = stops - 1
    while label >= 0 and position >= 0:
        order[position] = visits[label // LABELS // 2 % stops]
        position -= 1
        label = come_from[label // LABELS, label % LABELS]
    return best, kept


@inlined
def _least_rest(tb: Tables, workday: int, visits: Ints, rest: Floats) -> None:
    """Of every set, the shortest drives to the stops outside it at their best hours, and home."""
    stops = visits.shape[0]
    home, end = tb.place[tb.visits + workday], tb.place[tb.visits + tb.workdays + workday]
    back = np.inf
    for k in range(stops):
        back = min(back, drive(tb, tb.place[visits[k]], end))
    for taken in range(1 << stops):
        rest[taken] = back
    for k in range(stops):
        least = drive(tb, home, tb.place[visits[k]])
        for other in range(stops):
            if other != k:
                least = min(least, drive(tb, tb.place[visits[other]], tb.place[visits[k]]))
        menu = menu_for(tb, visits[k], workday)
        if menu >= 0:
            least += tb.menu_price[menu]
        for taken in range(1 << stops):
            if not taken >> k & 1:
                rest[taken] += least


@inlined
def _set_off(tb: Tables, workday: int, lunch: int) -> float:
    """When the technician leaves home with lunch (1) taken or not owed, or (0) still owed."""
    if not tb.lunch[workday]:
        return float(tb.start[workday]) if lunch == 1 else np.inf
    if lunch == 0:
        return float(tb.start[workday])
    begin = max(tb.start[workday], tb.lunch_earliest[workday])
    late = begin > tb.lunch_latest[workday]
    return np.inf if late else float(begin + tb.lunch_minutes[workday])


@inlined
def _arrive(
    tb: Tables, workday: int, visit: int, end: int, arrival: float, paid: float, most: float,
    label: int, state: int, at: Floats, price: Floats, come_from: Ints, count: Ints,
) -> bool:  # fmt: skip
    """Pairs for the first start after the arrival and for every later one that is cheaper."""
    menu = menu_for(tb, visit, workday)
    if menu < 0:
        return True
    kept, cheapest = True, np.inf
    latest = tb.end[workday] + 15.0 * tb.overtime[workday] - drive(tb, tb.place[visit], end)
    for s in range(stretch_at(tb, menu, arrival), tb.menu_first[menu + 1]):
        if tb.stretch_to[s] < arrival:
            continue
        ready = max(arrival, tb.stretch_from[s]) + tb.service[visit]
        if ready > latest:
            break
        if tb.stretch_price[s] < cheapest and paid + tb.stretch_price[s] <= most:
            cheapest = tb.stretch_price[s]
            kept &= _add(ready, paid + cheapest, label, state, at, price, come_from, count)
    return kept


@inlined
def _eat(
    tb: Tables, workday: int, base: int, at: Floats, price: Floats, come_from: Ints, count: Ints
) -> bool:
    """Lunch right after the last stop: pairs that owe it give pairs that have taken it."""
    kept = True
    if tb.lunch[workday]:
        for n in range(count[base]):
            begin = max(at[base, n], tb.lunch_earliest[workday])
            if begin <= tb.lunch_latest[workday]:
                ready = begin + tb.lunch_minutes[workday]
                kept &= _add(
                    ready, price[base, n], come_from[base, n], base + 1, at, price, come_from, count
                )
    return kept


@inlined
def _way_home(
    tb: Tables, workday: int, visits: Ints, end: int, at: Floats, price: Floats, count: Ints
) -> tuple[float, int]:
    stops = visits.shape[0]
    latest = tb.end[workday] + 15.0 * tb.overtime[workday]
    best, label = np.inf, -1
    for last in range(stops):
        base = (((1 << stops) - 1) * stops + last) * 2
        back = drive(tb, tb.place[visits[last]], end)
        for lunch in range(2):
            by = min(latest, tb.lunch_latest[workday]) if lunch == 0 else latest
            for n in range(count[base + lunch]):
                home_at = at[base + lunch, n] + back
                total = price[base + lunch, n] + back + overtime_price(tb, workday, home_at)
                if home_at <= by and total < best:
                    best, label = total, (base + lunch) * LABELS + n
    return best, label


@inlined
def _add(
    t: float, c: float, label: int, state: int, at: Floats, price: Floats, come_from: Ints,
    count: Ints,
) -> bool:  # fmt: skip
    """Keep (t, c) unless another pair is as early and as cheap; False when there was no room."""
    kept = 0
    for n in range(count[state]):
        if at[state, n] <= t and price[state, n] <= c:
            return True
    for n in range(count[state]):
        if at[state, n] < t or price[state, n] < c:
            at[state, kept], price[state, kept] = at[state, n], price[state, n]
            come_from[state, kept] = come_from[state, n]
            kept += 1
    if kept == LABELS:
        count[state] = kept
        return False
    at[state, kept], price[state, kept], come_from[state, kept] = t, c, label
    count[state] = kept + 1
    return True


def polished(tables: Tables, after: Ints, on: Ints) -> Ints:
    """The routes with every day of at most POLISHED_STOPS stops in its best order."""
    exact, result = tables._replace(epsilon=0.0), after.copy()
    state = new_state(exact, 0)
    link(exact, state, after, on)
    refresh_all(exact, state)
    for workday in range(tables.workdays):
        stops = _stops(tables, after, workday)
        if tables.closed[workday] or not 2 <= len(stops) <= POLISHED_STOPS:
            continue
        price = float(state.drive[workday] + state.timing[workday])
        found = best_order(exact, workday, sorted(stops), price)
        if found is None or found.price_min > price - ROUNDING_MIN:
            continue
        node = tables.visits + workday
        for visit in found.order:
            result[node] = visit
            node = visit
        result[node] = tables.visits + tables.workdays + workday
    return result


def _stops(tables: Tables, after: Ints, workday: int) -> list[int]:
    stops, node = [], int(after[tables.visits + workday])
    while node < tables.visits:
        stops.append(node)
        node = int(after[node])
    return stops
