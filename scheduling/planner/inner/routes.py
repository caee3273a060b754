"""Routes as linked lists: putting visits in, taking them out, and undoing a whole round."""

from .compiled import inlined, wide
from .drives import drive
from .even import busier, uneven_price
from .tables import (
    CHANGE,
    OUT,
    QUARTER_MIN,
    ROUND,
    SAVED,
    SAVED_OUT,
    SPREAD,
    TOUCHED,
    Ints,
    State,
    Tables,
)
from .timing import ROUNDING, menu_for, overtime_price, set_by, set_latest, set_reach, set_ready


@inlined
def set_hops(tb: Tables, st: State, workday: int) -> None:
    """The drives along a workday, from the travel table."""
    node = tb.visits + workday
    last = node + tb.workdays
    while node != last:
        following = st.after[node]
        st.hop[following] = drive_min(tb, node, following)
        node = following


@inlined
def refresh(tb: Tables, st: State, workday: int, whole: bool) -> None:
    """Work out all that is derived from the stops of a workday, the labels only as far as the gaps
    of this round change them, or all. O(stops x labels)."""
    last = tb.visits + tb.workdays + workday
    work, late, load, count, driven = 0.0, 0.0, 0.0, 0, 0.0
    first_gap, last_gap, behind = -1, 0, last
    node = st.after[tb.visits + workday]
    while True:
        driven += st.hop[node]
        if whole or st.gap[node] == st.counters[ROUND]:
            first_gap = count if first_gap < 0 else first_gap
            last_gap, behind = count, node
        if node == last:
            break
        work += tb.service[node]
        late += standing_price(tb, node, workday)
        load += tb.load[node]
        count += 1
        node = st.after[node]
    st.drive[workday], st.late[workday], st.count[workday] = driven, late, count
    st.load[workday] = load
    lunch = tb.lunch_minutes[workday] if tb.end[workday] > tb.lunch_latest[workday] else 0.0
    allowed = tb.end[workday] + QUARTER_MIN * tb.overtime[workday] - tb.start[workday]
    was = st.spare[workday]
    st.spare[workday] = allowed - work - driven - lunch
    busier(tb, st, workday, was - st.spare[workday])
    if not tb.closed[workday]:
        _refresh_labels(tb, st, workday, wide(behind), last_gap - first_gap + 1)
    st.timing[workday] = _timing_price(tb, st, workday)


@inlined
def _refresh_labels(tb: Tables, st: State, workday: int, node: int, gaps: int) -> None:
    """Labels around the gaps in front of `node` and of stops up to `gaps` - 1 before it. Each step
    goes over all that the one before has changed."""
    back = set_latest(tb, st, workday, wide(st.before[node]), gaps)
    for _ in range(back):
        node = wide(st.before[node])
    on = set_ready(tb, st, workday, node, back + 1)
    for _ in range(on - 1):
        node = wide(st.after[node])
    set_by(tb, st, workday, node, on)


@inlined
def drive_min(tb: Tables, node: int, other: int) -> float:
    if node >= tb.visits and other >= tb.visits:
        return 0.0  # Whoever has no visit drives nowhere, although start and end may lie apart.
    return drive(tb, tb.place[node], tb.place[other])


@inlined
def standing_price(tb: Tables, visit: int, workday: int) -> float:
    """What a visit costs on a workday whenever it starts: late, wished days, wished technician."""
    day = tb.day[workday]
    price = tb.late_day * max(0, day - tb.due_day[visit]) + tb.group_price[tb.group[visit], day]
    if tb.wished[visit] >= 0 and tb.wished[visit] != tb.technician[workday]:
        price += tb.other_technician
    return float(price)


@inlined
def _timing_price(tb: Tables, st: State, workday: int) -> float:
    """The cheapest label behind the last stop; of a closed day, the price of its fixed starts."""
    node = st.before[tb.visits + tb.workdays + workday]
    if tb.closed[workday]:
        total = tb.closed_price[workday]
        while node < tb.visits:
            total += tb.menu_price[menu_for(tb, node, workday)]
            node = st.before[node]
        return total
    best = 1e18
    last = tb.visits + tb.workdays + workday
    for lunch in range(2):
        for k in range(st.ready_count[node, lunch]):
            home_at = st.ready_at[node, lunch, k] + st.hop[last]
            # Whoever still owes lunch by then has another label for having taken it.
            if home_at <= st.latest[last, lunch] + ROUNDING:
                over = overtime_price(tb, workday, home_at)
                best = min(best, st.ready_price[node, lunch, k] + over)
    return best


@inlined
def price_of(st: State, workday: int) -> float:
    return float(st.drive[workday] + st.timing[workday] + st.late[workday])


@inlined
def _save_labels(st: State, node: int) -> None:
    """Copying labels back is quicker than working them out anew."""
    for lunch in range(2):
        st.saved_counts[node, 0, lunch] = st.ready_count[node, lunch]
        st.saved_counts[node, 1, lunch] = st.by_count[node, lunch]
        st.saved_latest[node, lunch] = st.latest[node, lunch]
        for k in range(st.ready_count[node, lunch]):
            st.saved_labels[node, 0, lunch, k] = st.ready_at[node, lunch, k]
            st.saved_labels[node, 1, lunch, k] = st.ready_price[node, lunch, k]
        for k in range(st.by_count[node, lunch]):
            st.saved_labels[node, 2, lunch, k] = st.by_clock[node, lunch, k]
            st.saved_labels[node, 3, lunch, k] = st.by_price[node, lunch, k]


@inlined
def _restore_labels(st: State, node: int) -> None:
    for lunch in range(2):
        st.ready_count[node, lunch] = st.saved_counts[node, 0, lunch]
        st.by_count[node, lunch] = st.saved_counts[node, 1, lunch]
        st.latest[node, lunch] = st.saved_latest[node, lunch]
        for k in range(st.ready_count[node, lunch]):
            st.ready_at[node, lunch, k] = st.saved_labels[node, 0, lunch, k]
            st.ready_price[node, lunch, k] = st.saved_labels[node, 1, lunch, k]
        for k in range(st.by_count[node, lunch]):
            st.by_clock[node, lunch, k] = st.saved_labels[node, 2, lunch, k]
            st.by_price[node, lunch, k] = st.saved_labels[node, 3, lunch, k]
    set_reach(st, node)


@inlined
def touch(tb: Tables, st: State, workday: int) -> None:
    """Before the first change of a workday in a round: note its stops, so that it can be undone."""
    if st.touched_mark[workday] == st.counters[ROUND]:
        return
    st.touched_mark[workday] = st.counters[ROUND]
    touched = st.counters[TOUCHED]
    st.price_before[touched] = price_of(st, workday)
    st.touched[touched] = workday
    day = st.saved_day[touched]
    day[0], day[1], day[2] = st.spare[workday], st.drive[workday], st.timing[workday]
    day[3], day[4], day[5] = st.late[workday], st.load[workday], st.count[workday]
    st.counters[TOUCHED] += 1
    at = st.counters[SAVED]
    node = st.after[tb.visits + workday]
    while node < tb.visits:
        st.saved[at], st.saved_hop[at] = node, st.hop[node]
        _save_labels(st, node)
        at += 1
        node = st.after[node]
    st.saved[at], st.saved_hop[at] = -1, st.hop[node]
    st.counters[SAVED] = at + 1


@inlined
def copy_ints(given: Ints, to: Ints, count: int) -> None:
    for k in range(count):
        to[k] = given[k]


@inlined
def begin_round(st: State) -> None:
    st.counters[ROUND] += 1
    st.counters[TOUCHED] = 0
    st.counters[SAVED] = 0
    st.total[CHANGE] = 0.0
    out = st.counters[OUT]
    copy_ints(st.out, st.saved_out, out)
    st.counters[SAVED_OUT] = out


@inlined
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
            _restore_labels(st, visit)
            node = visit
            at += 1
        last = tb.visits + tb.workdays + workday
        st.after[node], st.before[last], st.hop[last] = last, node, st.saved_hop[at]
        at += 1
        day = st.saved_day[k]
        busier(tb, st, workday, st.spare[workday] - day[0])
        st.spare[workday], st.drive[workday], st.timing[workday] = day[0], day[1], day[2]
        st.late[workday], st.load[workday], st.count[workday] = day[3], day[4], int(day[5])
    out = st.counters[SAVED_OUT]
    for k in range(out):
        visit = st.saved_out[k]
        st.out[k], st.out_at[visit], st.on[visit] = visit, k, -1
    st.counters[OUT] = out


@inlined
def take_out(tb: Tables, st: State, visit: int) -> None:
    """Unlink a visit; the workday has to be refreshed afterwards."""
    touch(tb, st, wide(st.on[visit]))
    previous, following = st.before[visit], st.after[visit]
    st.after[previous], st.before[following] = following, previous
    st.hop[following] = drive_min(tb, previous, following)
    st.gap[following] = st.counters[ROUND]
    st.on[visit] = -1
    out = st.counters[OUT]
    st.out[out], st.out_at[visit] = visit, out
    st.counters[OUT] = out + 1
    st.total[CHANGE] += tb.unplaced[visit]


@inlined
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
    st.late[workday] += standing_price(tb, visit, workday)
    st.load[workday] += tb.load[visit]
    st.spare[workday] -= tb.service[visit] + detour
    busier(tb, st, workday, tb.service[visit] + detour)
    st.count[workday] += 1
    if not tb.closed[workday]:
        # Nothing before the visit is ready later, and nothing behind it has to be met earlier.
        set_latest(tb, st, workday, visit, 1)
        set_ready(tb, st, workday, visit, 1)
        set_by(tb, st, workday, visit, 1)
    st.timing[workday] = _timing_price(tb, st, workday)


@inlined
def change_of_round(tb: Tables, st: State) -> float:
    """How much dearer (or, if negative, cheaper) this round has made the plan."""
    change = st.total[CHANGE]
    for k in range(st.counters[TOUCHED]):
        change += price_of(st, st.touched[k]) - st.price_before[k]
    if tb.uneven > 0.0:
        change += uneven_price(tb, st) - st.total[SPREAD]
    return float(change)
