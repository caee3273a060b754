"""The first plan: each workday in turn drives to the nearest visit that still fits."""

import numpy as np

from .compiled import compiled, inlined, wide
from .drives import drive
from .joining import price_between
from .routes import begin_round, put_in
from .tables import OUT, State, Tables
from .timing import menu_for


@compiled
def fill_by_nearest(tb: Tables, st: State) -> None:
    """Workdays in order of day; what is left over is left to the rounds that follow."""
    begin_round(st)
    for k in range(tb.workdays):
        workday = wide(tb.by_day[k])
        last = wide(st.before[tb.visits + tb.workdays + workday])
        while not tb.closed[workday]:
            visit = _nearest(tb, st, workday, last)
            if visit < 0:
                break
            put_in(tb, st, visit, last, workday)
            last = visit


@inlined
def _nearest(tb: Tables, st: State, workday: int, last: int) -> int:
    """The left-out visit with the shortest drive from `last`, cold risk counted as a drive."""
    end = st.after[last]
    room = st.spare[workday]
    best, nearest = np.inf, -1
    for k in range(st.counters[OUT]):
        visit = wide(st.out[k])
        there = drive(tb, tb.place[last], tb.place[visit])
        if there >= best or tb.service[visit] > room:
            continue
        menu = menu_for(tb, visit, workday)
        if menu < 0 or there + tb.menu_price[menu] >= best:
            continue
        if not tb.able[tb.skill_set[visit], workday]:
            continue
        if st.load[workday] + tb.load[visit] > tb.room[workday]:
            continue
        onward = drive(tb, tb.place[visit], tb.place[end])
        most = best - there + st.timing[workday]
        price = price_between(tb, st, workday, last, visit, menu, there, onward, most)
        if price < most:
            best, nearest = there + price - st.timing[workday], visit
    return nearest
