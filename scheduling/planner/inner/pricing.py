"""The route that is worth most at given prices of visits: dynamic programming on a grid of time.

A route may come back to a visit, but only after it has been so far away that the visit is not among
the few that are remembered there (ng-routes: Baldacci, Mingozzi and Roberti 2011, from memory).
That keeps the search for the best one quick and can only make it cheaper, so what is proven with it
holds for routes that visit each home once.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from .compiled import compiled, inlined
from .tables import Floats, Ints

KEPT = 8
"""Ways kept for one visit and arrival. Of more, two are taken for one that is cheaper than both and
remembers less."""
START = -1
"""Where a way comes from that has not visited anybody yet."""
Memory = npt.NDArray[np.uint64]
NOTHING = np.uint64(0)


class Net(NamedTuple):
    """Of n visits: steps of time from a start to the next arrival (the work lies between them),
    minutes driven, and the visits remembered, one bit each."""

    on: Ints  # [n, n]
    on_min: Floats  # [n, n]
    bit: Memory  # [n] its own
    barred: Memory  # [n, n] the bit of the second visit if the first one remembers it
    keep: Memory  # [n, n] of what the first one remembers, what the second one does too


class Days(NamedTuple):
    """Of W workdays; steps are counted from the first start of all."""

    out: Ints  # [W, n] the first arrivals, from the start place
    out_min: Floats  # [W, n]
    back_min: Floats  # [W, n] to the end place
    price: Floats  # [W, n, T] of starting then; infinity where that is not allowed or too late
    last: Ints  # [W, n] the last step allowed, -1 for none


class Ways(NamedTuple):
    """Ways to each visit: those that arrive at a step, and in the last row those that are there."""

    held: Ints  # [T + 1, n] how many
    cost: Floats  # [T + 1, n, KEPT] the worth of the visits taken off
    memory: Memory  # [T + 1, n, KEPT]
    come: Ints  # [T + 1, n, KEPT] the start before, as numbered in the log
    begun: Floats  # [T + 1, n, KEPT] the price at which it has been started already
    log_visit: Ints  # [starts] the visit of each start
    log_come: Ints  # [starts] and the start before
    whole: Floats  # [n] of each last visit the cheapest whole route
    whole_come: Ints  # [n] and its last start


@compiled
def price_routes(
    net: Net, days: Days, day: int, some: Ints, near: Ints, worth: Floats, ways: Ways
) -> None:
    """Fill `whole` of `ways` for one workday. `some`: the visits to look at, counted through in all
    else; `near` [some, k]: those that each goes on to, -1 where there are fewer; `worth` [n]: what
    each earns."""
    steps = days.price.shape[2]
    ways.held[:, : some.shape[0]] = 0
    ways.whole[:] = np.inf
    for c in range(some.shape[0]):
        visit = some[c]
        if days.out[day, visit] <= days.last[day, visit]:
            driven = days.out_min[day, visit]
            _keep(ways, days.out[day, visit], c, driven, net.bit[visit], START)
    logged = 0
    for t in range(steps):
        for c in range(some.shape[0]):
            visit = some[c]
            for k in range(ways.held[t, c]):
                way = ways.cost[t, c, k], ways.memory[t, c, k], ways.come[t, c, k]
                _keep(ways, steps, c, way[0], way[1], way[2])
            price = days.price[day, visit, t]
            for k in range(ways.held[steps, c]):
                if price < ways.begun[steps, c, k]:
                    ways.begun[steps, c, k] = price
                    if not _is_beaten(ways, steps, c, k, price):
                        ways.log_visit[logged] = visit
                        ways.log_come[logged] = ways.come[steps, c, k]
                        cost = ways.cost[steps, c, k] + price - worth[visit]
                        memory = ways.memory[steps, c, k]
                        _go_on(net, days, day, some, near, ways, c, t, cost, memory, logged)
                        logged += 1


@inlined
def _is_beaten(ways: Ways, row: int, c: int, k: int, price: float) -> bool:
    """Whether a start at this price is no cheaper than an earlier one that remembers no more."""
    cost, memory = ways.cost[row, c, k] + price, ways.memory[row, c, k]
    for other in range(ways.held[row, c]):
        cheaper = ways.cost[row, c, other] + ways.begun[row, c, other] <= cost
        if other != k and cheaper and ways.memory[row, c, other] & ~memory == NOTHING:
            return True
    return False


@inlined
def _go_on(
    net: Net, days: Days, day: int, some: Ints, near: Ints, ways: Ways, c: int, t: int,
    cost: float, memory: np.uint64, start: int,
) -> None:  # fmt: skip
    """From a start at `t` home, and on to every near visit that is not remembered."""
    visit = some[c]
    home = cost + days.back_min[day, visit]
    if home < ways.whole[visit]:
        ways.whole[visit], ways.whole_come[visit] = home, start
    for k in range(near.shape[1]):
        if near[c, k] < 0:
            return
        other = some[near[c, k]]
        arrival = t + net.on[visit, other]
        if arrival <= days.last[day, other] and memory & net.barred[visit, other] == NOTHING:
            remembered = (memory & net.keep[visit, other]) | net.bit[other]
            driven = cost + net.on_min[visit, other]
            _keep(ways, arrival, near[c, k], driven, remembered, start)


@inlined
def _keep(ways: Ways, row: int, c: int, cost: float, memory: np.uint64, come: int) -> None:
    """Add a way unless another one is no dearer and remembers no more; drop those it beats."""
    count, kept = ways.held[row, c], 0
    costs, memories = ways.cost[row, c], ways.memory[row, c]
    comes, begun = ways.come[row, c], ways.begun[row, c]
    for k in range(count):
        if costs[k] <= cost and memories[k] & ~memory == NOTHING:
            return
    for k in range(count):
        if not (cost <= costs[k] and memory & ~memories[k] == NOTHING):
            costs[kept], memories[kept] = costs[k], memories[k]
            comes[kept], begun[kept] = comes[k], begun[k]
            kept += 1
    if kept == KEPT:
        kept -= 1
        memory &= memories[kept]
        if costs[kept] < cost:
            cost, come = costs[kept], comes[kept]
    costs[kept], memories[kept], comes[kept], begun[kept] = cost, memory, come, np.inf
    ways.held[row, c] = kept + 1


@compiled
def near_of(order: Ints, some: Ints, number: Ints, near: Ints) -> None:
    """Fill `near` [some, k] with the first of each visit's `order` that are looked at. `number`
    [n]: -1 everywhere; scratch."""
    for c in range(some.shape[0]):
        number[some[c]] = c
    for c in range(some.shape[0]):
        found = 0
        for k in range(order.shape[1]):
            if found == near.shape[1]:
                break
            if number[order[some[c], k]] >= 0:
                near[c, found] = number[order[some[c], k]]
                found += 1
        if found < near.shape[1]:
            near[c, found] = -1
    for c in range(some.shape[0]):
        number[some[c]] = -1


@compiled
def follow_back(ways: Ways, start: int, route: Ints) -> int:
    """Write the whole route that ends with a start, last stop first; its length."""
    length = 0
    while start != START and length < route.shape[0]:
        route[length] = ways.log_visit[start]
        start = ways.log_come[start]
        length += 1
    return length
