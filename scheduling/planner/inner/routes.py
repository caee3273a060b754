"""Routes as linked lists: putting visits in, taking them out, and undoing a whole round."""

from .compiled import inlined, part
from .tables import CHANGE, OUT, ROUND, SAVED, SAVED_OUT, TOUCHED, Ints, State, Tables
from .timing import set_by, set_latest, set_ready


@part
def refresh(tb: Tables, st: State, workday: int) -> None:
    """Work out all that is derived from the order of stops on a workday. O(stops x labels)."""
    node = tb.visits + workday
    last = tb.visits + tb.workdays + workday
    work, drive, late, count = 0.0, 0.0, 0.0, 0
    while node != last:
        following = st.after[node]
        hop = float(tb.travel[tb.place[node], tb.place[following]])
        st.hop[following] = hop
        drive += hop
        if following < tb.visits:
            work += tb.service[following]
            late += late_price(tb, following, workday)
            count += 1
        node = following
    st.drive[workday], st.late[workday], st.count[workday] = drive, late, count
    lunch = tb.lunch_minutes[workday] if tb.end[workday] > tb.lunch_latest[workday] else 0.0
    st.spare[workday] = tb.end[workday] - tb.start[workday] - work - drive - lunch
    if not tb.closed[workday]:
        set_latest(tb, st, workday)
        set_ready(tb, st, workday)
        set_by(tb, st, workday)
    st.timing[workday] = _timing_price(tb, st, workday)


@inlined
def late_price(tb: Tables, visit: int, workday: int) -> float:
    return tb.late_day * max(0, tb.day[workday] - tb.due_day[visit])


@inlined
def _timing_price(tb: Tables, st: State, workday: int) -> float:
    """The cheapest label behind the last stop; of a closed day, the price of its fixed starts."""
    node = st.before[tb.visits + tb.workdays + workday]
    if tb.closed[workday]:
        total = 0.0
        while node < tb.visits:
            total += tb.menu_price[tb.kept_menu[node]]
            node = st.before[node]
        return total
    best = 1e18
    for lunch in range(2):
        count = st.ready_count[node, lunch]
        if count > 0:
            best = min(best, st.ready_price[node, lunch, count - 1])
    return best


@inlined
def price_of(st: State, workday: int) -> float:
    return float(st.drive[workday] + st.timing[workday] + st.late[workday])


@inlined
def touch(tb: Tables, st: State, workday: int) -> None:
    """Before the first change of a workday in a round: note its stops, so that it can be undone."""
    if st.touched_mark[workday] == st.counters[ROUND]:
        return
    st.touched_mark[workday] = st.counters[ROUND]
    st.total[CHANGE] -= price_of(st, workday)
    st.touched[st.counters[TOUCHED]] = workday
    st.counters[TOUCHED] += 1
    at = st.counters[SAVED]
    node = st.after[tb.visits + workday]
    while node < tb.visits:
        st.saved[at] = node
        at += 1
        node = st.after[node]
    st.saved[at] = -1
    st.counters[SAVED] = at + 1


@inlined
def copy_ints(given: Ints, to: Ints, count: int) -> None:
    for k in range(count):
        to[k] = given[k]


@part
def begin_round(st: State) -> None:
    st.counters[ROUND] += 1
    st.counters[TOUCHED] = 0
    st.counters[SAVED] = 0
    st.total[CHANGE] = 0.0
    out = st.counters[OUT]
    copy_ints(st.out, st.saved_out, out)
    st.counters[SAVED_OUT] = out


@part
def undo_round(tb: Tables, st: State) -> None:
    """Put every touched workday back as `touch` found it, and the visits left out too."""
    at = 0
    for k in range(st.counters[TOUCHED]):
        workday = st.touched[k]
        node = tb.visits + workday
        while st.saved[at] >= 0:
            visit = st.saved[at]
            st.after[node], st.before[visit] = visit, node
            st.on[visit], st.out_at[visit] = workday, -1
            node = visit
            at += 1
        at += 1
        last = tb.visits + tb.workdays + workday
        st.after[node], st.before[last] = last, node
        refresh(tb, st, workday)
    out = st.counters[SAVED_OUT]
    for k in range(out):
        visit = st.saved_out[k]
        st.out[k], st.out_at[visit], st.on[visit] = visit, k, -1
    st.counters[OUT] = out


@part
def take_out(tb: Tables, st: State, visit: int) -> None:
    """Unlink a visit; the workday has to be refreshed afterwards."""
    touch(tb, st, st.on[visit])
    previous, following = st.before[visit], st.after[visit]
    st.after[previous], st.before[following] = following, previous
    st.on[visit] = -1
    out = st.counters[OUT]
    st.out[out], st.out_at[visit] = visit, out
    st.counters[OUT] = out + 1
    st.total[CHANGE] += tb.unplaced[visit]


@part
def put_in(tb: Tables, st: State, visit: int, before: int, workday: int) -> None:
    """Link a visit behind node `before` and refresh the workday."""
    touch(tb, st, workday)
    following = st.after[before]
    st.after[before], st.before[visit] = visit, before
    st.after[visit], st.before[following] = following, visit
    st.on[visit] = workday
    out = st.counters[OUT] - 1
    moved, at = st.out[out], st.out_at[visit]
    st.out[at], st.out_at[moved] = moved, at
    st.out_at[visit] = -1
    st.counters[OUT] = out
    st.total[CHANGE] -= tb.unplaced[visit]
    refresh(tb, st, workday)


@part
def change_of_round(st: State) -> float:
    """How much dearer (or, negative, cheaper) this round has made the plan so far."""
    change = st.total[CHANGE]
    for k in range(st.counters[TOUCHED]):
        change += price_of(st, st.touched[k])
    return float(change)
