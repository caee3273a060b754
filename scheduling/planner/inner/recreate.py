"""Putting visits back where they add least: the second half of a round.

Greedy insertion with blinks: now and then a place is overlooked, which keeps the greedy order from
always giving the same answer (Christiaens and Vanden Berghe 2020, from memory).
"""

from .chance import chance, pick
from .compiled import inlined, wide
from .drives import drive, drive_to
from .even import uneven_guide
from .joining import price_between
from .routes import put_in, standing_price
from .tables import OUT, QUEUED, ROUND, SEEN, TOUCHED, TRIED, State, Tables
from .timing import menu_for

BLINK = 0.01
MOST_NEAR_OUT, SOME_OUT = 8, 1
"""Left-out visits tried again in one round besides those just taken out: neighbours of these, for
whom there is room now, and some from anywhere."""
MOST_BY_CHANCE = 16
"""Workdays tried by chance for each visit."""
BY_CHANCE, BY_LENGTH, BY_PRICE, FAR_FIRST, NEAR_FIRST = range(5)


@inlined
def recreate(tb: Tables, st: State, order: int, newly_out: int) -> None:
    """Put back what fits. `newly_out`: how many of the left-out visits this round took out."""
    _fill_queue(tb, st, order, newly_out)
    queued = st.counters[QUEUED]
    _sort_queue(st, queued)
    for k in range(queued):
        visit = wide(st.queue[k])
        before, workday = best_place(tb, st, visit)
        if before >= 0:
            put_in(tb, st, visit, before, workday)


@inlined
def _fill_queue(tb: Tables, st: State, order: int, newly_out: int) -> None:
    """The visits to try, with a rank each: the lowest goes first."""
    out = st.counters[OUT]
    old = out - newly_out
    queued = 0
    for k in range(old, out):
        st.queue[queued] = st.out[k]
        queued += 1
    if old > 0:
        queued = _queue_old(tb, st, old, queued)
    for k in range(queued):
        st.rank[k] = _rank(tb, st, st.queue[k], order)
    st.counters[QUEUED] = queued


@inlined
def _queue_old(tb: Tables, st: State, old: int, queued: int) -> int:
    """Add visits that were left out before: first those near a visit just taken out."""
    newly_out, most = queued, min(queued + MOST_NEAR_OUT, st.queue.shape[0])
    for k in range(newly_out):
        for n in range(tb.near.shape[1]):
            visit = tb.near[st.queue[k], n]
            if visit < 0 or queued >= most:
                break
            if 0 <= st.out_at[visit] < old:
                queued = _ask(st, visit, queued)
    begin = pick(st.random, old)
    for k in range(min(old, SOME_OUT)):
        queued = _ask(st, st.out[(begin + k) % old], queued)
    return queued


@inlined
def _ask(st: State, visit: int, queued: int) -> int:
    if st.asked[visit] == st.counters[ROUND]:
        return queued
    st.asked[visit] = st.counters[ROUND]
    st.queue[queued] = visit
    return queued + 1


@inlined
def _sort_queue(st: State, queued: int) -> None:
    """By rank, by insertion: the queue is short."""
    for k in range(1, queued):
        visit, rank = st.queue[k], st.rank[k]
        at = k
        while at > 0 and st.rank[at - 1] > rank:
            st.queue[at], st.rank[at] = st.queue[at - 1], st.rank[at - 1]
            at -= 1
        st.queue[at], st.rank[at] = visit, rank


@inlined
def _rank(tb: Tables, st: State, visit: int, order: int) -> float:
    if order == BY_LENGTH:
        return -tb.service[visit]
    if order == BY_PRICE:
        return -tb.unplaced[visit] + chance(st.random)
    if order == FAR_FIRST:
        return -drive(tb, tb.place[tb.visits], tb.place[visit])
    if order == NEAR_FIRST:
        return drive(tb, tb.place[tb.visits], tb.place[visit])
    return chance(st.random)


@inlined
def best_place(tb: Tables, st: State, visit: int) -> tuple[int, int]:
    """The node to go behind and its workday that add least; (-1, -1): better left out."""
    _gather_workdays(tb, st, visit)
    best, best_before, best_workday = tb.unplaced[visit], -1, -1
    service, place = tb.service[visit], tb.place[visit]
    for k in range(st.counters[TRIED]):
        workday = wide(st.tried[k])
        # 1. Whether the visit can be there at all, and what it costs at the very least.
        room = st.spare[workday] - service
        if room < 0 or st.load[workday] + tb.load[visit] > tb.room[workday]:
            continue
        menu = menu_for(tb, visit, workday)
        if menu < 0 or not tb.able[tb.skill_set[visit], workday]:
            continue
        standing = standing_price(tb, visit, workday)
        if tb.uneven > 0.0:
            standing += service * uneven_guide(tb, st, workday)
        least = standing + tb.menu_price[menu]
        if least >= best:
            continue
        # 2. Each place along the route: cheap tests first, then the price of the starts.
        before = tb.visits + workday
        there = drive_to(tb, place, tb.place[before])
        first_start = tb.stretch_from[tb.menu_first[menu]]
        last_start = tb.stretch_to[tb.menu_first[menu + 1] - 1]
        while before < tb.visits or before == tb.visits + workday:
            ready = st.reach[before, 0]
            if ready > last_start:
                break
            following = st.after[before]
            onward = drive(tb, place, tb.place[following])
            detour = there + onward - st.hop[following]
            start = max(ready + there, first_start)
            in_time = start <= last_start and start + service + onward <= st.reach[following, 1]
            cheap = detour <= room and detour + least < best
            if in_time and cheap and chance(st.random) >= BLINK:
                known = detour + standing - st.timing[workday]
                most = best - known
                price = price_between(tb, st, workday, before, visit, menu, there, onward, most)
                if price < most:
                    best, best_before, best_workday = price + known, before, workday
            before = following
            there = onward if tb.even else drive_to(tb, place, tb.place[before])
    return best_before, best_workday


@inlined
def _gather_workdays(tb: Tables, st: State, visit: int) -> None:
    """Workdays worth trying: those just opened, the neighbours', and some by chance.

    The likeliest go first, because a good place found early saves looking closely at the others.
    """
    st.counters[SEEN] += 1
    st.counters[TRIED] = 0
    if tb.kept_workday[visit] >= 0:
        _try(st, tb.kept_workday[visit])
    for k in range(st.counters[TOUCHED]):
        _try(st, st.touched[k])
    for k in range(tb.near.shape[1]):
        neighbour = tb.near[visit, k]
        if neighbour < 0:
            break
        if st.on[neighbour] >= 0:
            _try(st, st.on[neighbour])
    for _ in range(2 + min(tb.workdays // 20, MOST_BY_CHANCE)):
        _try(st, pick(st.random, tb.workdays))


@inlined
def _try(st: State, workday: int) -> None:
    if st.seen[workday] != st.counters[SEEN]:
        st.seen[workday] = st.counters[SEEN]
        st.tried[st.counters[TRIED]] = workday
        st.counters[TRIED] += 1
