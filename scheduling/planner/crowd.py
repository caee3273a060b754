"""More work than hours: what a minute is worth then, and a search guided by it.

While visits are left out for want of time, a minute saved is worth its part of one more visit. The
search cannot see that by itself, for no single saving makes room for a visit. So it is shown all
other prices divided by that worth, which is the same as dearer minutes; and of visits that cost the
same to leave out, the shorter go in. At first the worth is exaggerated, which clears the roads and
keeps visits moving in and out; towards the end it comes down to what it is.
"""

import numpy as np

from .inner.tables import OUT, State, Tables

MOST_WORTH = 10.0
"""Where visits may hardly be left out at all, warmth must still count for something."""
EXAGGERATED = 4.0
"""At first a minute counts so many times what it is worth."""
WORK_SHARE, LEAST_LEFT = 0.25, 0.2
"""A minute of work counts this part of a minute on the road (the whole of it, which is what it is
worth, finds dearer plans); no visit loses more than all but the last part of its price by it."""


def minute_worth(tables: Tables, state: State) -> float:
    """What a minute on the road costs with what could be done in it; 1 when hours are not short,
    although visits may be left out (that are far away, say, or that nobody can do)."""
    out = state.out[: state.counters[OUT]]
    placed = tables.visits - len(out)
    work_min = float(tables.service[out].sum())
    if placed == 0 or work_min <= float(state.spare[~tables.closed].sum()):
        return 1.0
    drive_min = float(state.drive.sum()) / placed
    worth = float(tables.unplaced[out].sum()) / (work_min + drive_min * len(out))
    return min(1.0 + worth, MOST_WORTH)


def exaggerated(worth: float, share: float) -> float:
    """The worth to search with after `share` (0 to 1) of the time in which minutes are dear."""
    return 1.0 + (worth - 1.0) * (EXAGGERATED + (1.0 - EXAGGERATED) * share)


def with_dear_minutes(tables: Tables, worth: float) -> Tables:
    """The same problem with every price but that of driving divided by the worth of a minute, and
    with long visits cheaper to leave out than short ones."""
    unplaced = tables.unplaced / worth
    longer_min = tables.service - tables.service.mean()
    return tables._replace(
        unplaced=np.maximum(unplaced - WORK_SHARE * longer_min, LEAST_LEFT * unplaced),
        menu_price=tables.menu_price / worth,
        stretch_price=tables.stretch_price / worth,
        group_price=tables.group_price / worth,
        closed_price=tables.closed_price / worth,
        late_day=tables.late_day / worth,
        other_technician=tables.other_technician / worth,
        overtime_quarter=tables.overtime_quarter / worth,
        uneven=tables.uneven / worth,
        epsilon=tables.epsilon / worth,
    )
