"""A plan made elsewhere as routes, leaving out what does not fit (any more)."""

import numpy as np

from .compiled import compiled, inlined, wide
from .drives import drive
from .joining import price_between
from .routes import copy_ints, put_in
from .tables import Ints, State, Tables
from .timing import menu_for


@compiled
def load_route(tb: Tables, st: State, workday: int, visits: Ints) -> None:
    """Put visits on an empty workday in the order given: the fixed ones first, they always stay."""
    before = tb.visits + workday
    for k in range(visits.shape[0]):
        visit = wide(visits[k])
        if tb.fixed[visit]:
            put_in(tb, st, visit, before, workday)
            before = visit
    before = tb.visits + workday
    for k in range(visits.shape[0]):
        visit = wide(visits[k])
        if not tb.fixed[visit]:
            if not fits(tb, st, workday, before, visit):
                continue
            put_in(tb, st, visit, before, workday)
        before = visit


@inlined
def fits(tb: Tables, st: State, workday: int, before: int, visit: int) -> bool:
    """Whether a left-out visit may go behind node `before`, whatever it costs."""
    menu = menu_for(tb, visit, workday)
    if menu < 0 or not tb.able[tb.skill_set[visit], workday]:
        return False
    if st.load[workday] + tb.load[visit] > tb.room[workday]:
        return False
    there = drive(tb, tb.place[before], tb.place[visit])
    onward = drive(tb, tb.place[visit], tb.place[st.after[before]])
    price = price_between(tb, st, workday, before, visit, menu, there, onward, np.inf)
    return price < np.inf


@compiled
def link(tb: Tables, st: State, after: Ints, on: Ints) -> None:
    """Take over the routes of another state. Everything derived has to be refreshed."""
    copy_ints(after, st.after, after.shape[0])
    copy_ints(on, st.on, on.shape[0])
    for node in range(tb.visits + tb.workdays):
        # A visit that was taken out still points to where it used to be.
        if node >= tb.visits or st.on[node] >= 0:
            st.before[st.after[node]] = node
