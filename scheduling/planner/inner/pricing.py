"""The route that is worth most at given prices of visits: dynamic programming on a grid of time.

A route may come back to a visit, though not at once (routes without 2-cycles: Houck, Picard,
Queyranne and Vemuganti 1980, from memory). That makes the search for the best one quick and can
only make it cheaper, so what is proven with it holds for routes that visit each home once.
"""

from typing import NamedTuple

import numpy as np

from .compiled import compiled, inlined
from .tables import Floats, Ints

START = -1
"""Where a route comes from that has not visited anybody yet."""


class Legs(NamedTuple):
    """Of n visits and one workday: steps of time from a start to the next arrival (the work lies
    between them), and minutes driven."""

    out: Ints  # [n] the first arrivals, from the start place
    out_min: Floats
    on: Ints  # [n, n] from one visit to another
    on_min: Floats
    near: Ints  # [n, k] the others that a visit goes on to
    back: Ints  # [n] to the end place
    back_min: Floats


class Ways(NamedTuple):
    """The two cheapest ways to each visit and step that come from different visits."""

    cost: Floats  # [2, T, n] by arrival, the prices of the visits taken off
    come: Ints  # [2, T, n] the visit before
    at: Ints  # [2, T, n] and its start
    begun: Floats  # [n, 2] the cheapest two starts of a visit so far
    begun_from: Ints  # [n, 2]
    whole: Floats  # [n] of each last visit the cheapest whole route
    whole_at: Ints  # [n] and its start


@compiled
def price_routes(legs: Legs, end: int, price: Floats, worth: Floats, ways: Ways) -> None:
    """Fill `ways` for a workday that ends at step `end`. `price` [n, T]: of starting then, infinity
    where that is not allowed; `worth` [n]: what each visit earns."""
    visits, horizon = price.shape
    ways.cost[:] = np.inf
    ways.begun[:] = np.inf
    ways.whole[:] = np.inf
    for visit in range(visits):
        if legs.out[visit] < horizon:
            _arrive(ways, visit, legs.out[visit], legs.out_min[visit], START, 0)
    for t in range(horizon):
        for visit in range(visits):
            if t > 0:
                _wait(ways, visit, t)
            added = price[visit, t] - worth[visit]
            if ways.cost[0, t, visit] + added < np.inf and _is_news(ways, visit, t, added):
                _go_on(legs, end, ways, visit, t, added)


@inlined
def _arrive(ways: Ways, visit: int, t: int, cost: float, come: int, at: int) -> None:
    """Keep a way if it is among the two cheapest from different visits."""
    first = 0
    if cost >= ways.cost[0, t, visit]:
        if cost >= ways.cost[1, t, visit] or ways.come[0, t, visit] == come:
            return
        first = 1
    elif ways.come[0, t, visit] != come or ways.cost[0, t, visit] == np.inf:
        ways.cost[1, t, visit] = ways.cost[0, t, visit]
        ways.come[1, t, visit], ways.at[1, t, visit] = ways.come[0, t, visit], ways.at[0, t, visit]
    ways.cost[first, t, visit] = cost
    ways.come[first, t, visit], ways.at[first, t, visit] = come, at


@inlined
def _wait(ways: Ways, visit: int, t: int) -> None:
    """Whoever was there a step ago can still be there now."""
    for way in range(2):
        cost = ways.cost[way, t - 1, visit]
        if cost < ways.cost[1, t, visit]:
            come, at = ways.come[way, t - 1, visit], ways.at[way, t - 1, visit]
            _arrive(ways, visit, t, cost, come, at)


@inlined
def _is_news(ways: Ways, visit: int, t: int, added: float) -> bool:
    """Whether a start at `t` is cheaper than the earlier ones; only then is it worth following."""
    news = False
    begun, source = ways.begun[visit], ways.begun_from[visit]
    for way in range(2):
        cost, come = ways.cost[way, t, visit] + added, ways.come[way, t, visit]
        if cost < begun[0]:
            if source[0] != come or begun[0] == np.inf:
                begun[1], source[1] = begun[0], source[0]
            begun[0], source[0] = cost, come
            news = True
        elif cost < begun[1] and source[0] != come:
            begun[1], source[1] = cost, come
            news = True
    return news


@inlined
def _go_on(legs: Legs, end: int, ways: Ways, visit: int, t: int, added: float) -> None:
    """From a start at `t` home, and on to every near visit but the one before."""
    first, second = ways.cost[0, t, visit] + added, ways.cost[1, t, visit] + added
    come, horizon = ways.come[0, t, visit], ways.cost.shape[1]
    if t + legs.back[visit] <= end and first + legs.back_min[visit] < ways.whole[visit]:
        ways.whole[visit], ways.whole_at[visit] = first + legs.back_min[visit], t
    for k in range(legs.near.shape[1]):
        other = legs.near[visit, k]
        arrival = t + legs.on[visit, other]
        if arrival < horizon:
            cost = (second if other == come else first) + legs.on_min[visit, other]
            if cost < ways.cost[1, arrival, other]:
                _arrive(ways, other, arrival, cost, visit, t)


@compiled
def follow_back(ways: Ways, visit: int, t: int, route: Ints) -> int:
    """Write the whole route that ends with `visit` begun at `t`, last stop first; its length."""
    length, after = 0, START - 1
    while visit != START and length < route.shape[0]:
        route[length] = visit
        length += 1
        way = 1 if ways.come[0, t, visit] == after else 0
        after = visit
        visit, t = ways.come[way, t, visit], ways.at[way, t, visit]
    return length
