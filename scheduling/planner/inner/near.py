"""Each visit's nearest neighbours, found without a table of all pairs."""

from .compiled import compiled, inlined
from .drives import drive
from .tables import Floats, Ints, Tables


@compiled
def find_near(tb: Tables, near: Ints, far: Floats) -> None:
    """Fill `near` [N, k] with the shortest round trips among visits that could share a day, -1
    where there are fewer; no fixed visit has or is any. `far` [k]: scratch. O(N x N) drives,
    O(N k) memory."""
    wanted = near.shape[1]
    for visit in range(tb.visits):
        found = 0
        for other in range(0 if tb.fixed[visit] else tb.visits):
            there = drive(tb, tb.place[visit], tb.place[other])
            if found == wanted and there >= far[found - 1]:
                continue
            trip = there + _drive_back(tb, visit, other)
            if other == visit or (found == wanted and trip >= far[found - 1]):
                continue
            if not tb.fixed[other] and _share_a_day(tb, visit, other):
                found = min(found + 1, wanted)
                at = found - 1
                while at > 0 and far[at - 1] > trip:
                    far[at], near[visit, at] = far[at - 1], near[visit, at - 1]
                    at -= 1
                far[at], near[visit, at] = trip, other
        for at in range(found, wanted):
            near[visit, at] = -1


@inlined
def _drive_back(tb: Tables, visit: int, other: int) -> float:
    return drive(tb, tb.place[other], tb.place[visit])


@inlined
def _share_a_day(tb: Tables, visit: int, other: int) -> bool:
    for day in range(tb.menu_on.shape[1]):
        if tb.menu_on[visit, day] >= 0 and tb.menu_on[other, day] >= 0:
            return True
    return False
