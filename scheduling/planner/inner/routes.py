"""Routes as linked lists: putting visits in, taking them out, and undoing a whole round."""

from .compiled import inlined, part
from .tables import CHANGE, NOW, OUT, ROUND, SAVED, SAVED_OUT, TOUCHED, Ints, State, Tables
from .timing import set_by, set_latest, set_ready


@part
def set_hops(tb: Tables, st: State, workday: int) -> None:
    """The drives along a workday, from the travel table."""
    node = tb.visits + workday
    last = node + tb.workdays
    while node != last:
        following = st.after[node]
        st.hop[following] = drive_min(tb, node, following)
        node = following


@part
def refresh(tb: Tables, st: State, workday: int) -> None:
    """Work out all that is derived from the stops of a workday. O(stops x labels)."""
    last = tb.visits + tb.workdays + workday
    work, late, count = 0.0, 0.0, 0
    node = st.after[tb.visits + workday]
    drive = st.hop[node]
    while node < tb.visits:
        work += tb.service[node]
        late += late_price(tb, node, workday)
        count += 1
        node = st.after[node]
        drive += st.hop[node]
    st.drive[workday], st.late[workday], st.count[workday] = drive, late, count
    lunch = tb.lunch_minutes[workday] if tb.end[workday] > tb.lunch_latest[workday] else 0.0
    st.spare[workday] = tb.end[workday] - tb.start[workday] - work - drive - lunch
    if not tb.closed[workday]:
        set_latest(tb, st, workday, st.before[last])
        set_ready(tb, st, workday, st.after[tb.visits + workday])
        set_by(tb, st, workday, st.before[last])
    st.timing[workday] = _timing_price(tb, st, workday)


@inlined
def drive_min(tb: Tables, node: int, other: int) -> float:
    return float(tb.travel[tb.place[node], tb.place[other]])


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
    st.price_before[st.counters[TOUCHED]] = price_of(st, workday)
    st.touched[st.counters[TOUCHED]] = workday
    st.counters[TOUCHED] += 1
    at = st.counters[SAVED]
    node = st.after[tb.visits + workday]
    while node < tb.visits:
        st.saved[at], st.saved_hop[at] = node, st.hop[node]
        at += 1
        node = st.after[node]
    st.saved[at], st.saved_hop[at] = -1, st.hop[node]
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
            st.after[node], st.before[visit], st.hop[visit] = visit, node, st.saved_hop[at]
            st.on[visit], st.out_at[visit] = workday, -1
            node = visit
            at += 1
        last = tb.visits + tb.workdays + workday
        st.after[node], st.before[last], st.hop[last] = last, node, st.saved_hop[at]
        at += 1
        refresh(tb, st, workday)
        # Labels made step by step may differ from these by what `epsilon` overlooks.
        st.total[NOW] += price_of(st, workday) - st.price_before[k]
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
    st.hop[following] = drive_min(tb, previous, following)
    st.on[visit] = -1
    out = st.counters[OUT]
    st.out[out], st.out_at[visit] = visit, out
    st.counters[OUT] = out + 1
    st.total[CHANGE] += tb.unplaced[visit]


@part
def put_in(tb: Tables, st: State, visit: int, before: int, workday: int) -> None:
    """Link a visit behind node `before` and bring up to date what it changes."""
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
    there, onward = drive_min(tb, before, visit), drive_min(tb, visit, following)
    detour = there + onward - st.hop[following]
    st.hop[visit], st.hop[following] = there, onward
    st.drive[workday] += detour
    st.late[workday] += late_price(tb, visit, workday)
    st.spare[workday] -= tb.service[visit] + detour
    st.count[workday] += 1
    if not tb.closed[workday]:
        # Nothing before the visit is ready later, and nothing behind it has to be met earlier.
        set_latest(tb, st, workday, visit)
        set_ready(tb, st, workday, visit)
        set_by(tb, st, workday, visit)
    st.timing[workday] = _timing_price(tb, st, workday)


@part
def change_of_round(st: State) -> float:
    """How much dearer (or, if negative, cheaper) this round has made the plan."""
    change = st.total[CHANGE]
    for k in range(st.counters[TOUCHED]):
        change += price_of(st, st.touched[k]) - st.price_before[k]
    return float(change)
