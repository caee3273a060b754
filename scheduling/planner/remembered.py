"""Which visits a route remembers at each of them (ng-routes), as bits for `inner/pricing.py`."""

import numpy as np

from .inner.pricing import Net
from .inner.tables import Floats, Ints

REMEMBERED = 8
"""A route remembers at each visit itself and its nearest others, so many in all."""
BITS = 64


def net_of(on: Ints, on_min: Floats, order: Ints) -> Net:
    """`order` [n, n - 1]: the others of each visit, the nearest first."""
    n = len(on)
    lists = [{i, *order[i, : REMEMBERED - 1].tolist()} for i in range(n)]
    there = [{i for i in range(n) if visit in lists[i]} for visit in range(n)]
    bit = np.zeros(n, np.uint64)
    barred, keep = np.zeros((n, n), np.uint64), np.zeros((n, n), np.uint64)
    for visit in range(n):
        bit[visit] = _free_bit(visit, lists, there, bit)
        at = np.array(sorted(there[visit]), np.intp)
        barred[at, visit] = bit[visit]
        keep[np.ix_(at, at)] |= bit[visit]
    return Net(on, on_min, barred.diagonal().copy(), barred, keep)


def _free_bit(
    visit: int, lists: list[set[int]], there: list[set[int]], bit: np.typing.NDArray[np.uint64]
) -> np.uint64:
    """A bit that nobody has who is remembered together with the visit; where there is none, the
    visit is forgotten where its bit would have two meanings."""
    used = {int(bit[other]): i for i in there[visit] for other in lists[i] if bit[other]}
    free = next((1 << b for b in range(BITS) if 1 << b not in used), None)
    if free is None:
        free = 1 << (visit % BITS)
        there[visit] = {i for i in there[visit] if all(int(bit[o]) != free for o in lists[i])}
        for i in range(len(lists)):
            if i not in there[visit]:
                lists[i].discard(visit)
    return np.uint64(free)
