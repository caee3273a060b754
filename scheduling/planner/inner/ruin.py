"""Taking visits out: the first half of a round of ruin and recreate.

Ruin and recreate: Schrimpf, Schneider, Stamm-Wilbrandt and Dueck 2000. Strings of neighbouring
routes: Christiaens and Vanden Berghe 2020 (SISR). Several ways, chosen by what they earned: Ropke
and Pisinger 2006 (ALNS). All cited from memory.
"""

from .chance import chance, pick
from .compiled import inlined, wide
from .drives import drive
from .routes import refresh, take_out
from .tables import OUT, QUEUED, ROUND, SEEN, TOUCHED, State, Tables

MEAN_OUT = 10.0
"""Visits taken out in a usual round (SISR's c-bar)."""
LONGEST_STRING = 10.0
"""SISR's L-max."""
SPLIT = 0.5
"""How often a string leaves some visits in its middle where they are."""
STRINGS, WHOLE_DAYS, SCATTERED, COLD, DETOURS = range(5)


@inlined
def ruin(tb: Tables, st: State, way: int) -> None:
    """Take some visits out by one of the ways above, and refresh what they leave behind."""
    # 1. Choose: the chosen stand in the queue, their workdays are marked as seen.
    st.counters[QUEUED] = 0
    st.counters[SEEN] += 1
    if way == WHOLE_DAYS:
        _choose_days(tb, st)
    elif way == SCATTERED:
        _choose_scattered(tb, st)
    else:
        _choose_around(tb, st, way)
    # 2. Take out: in one place, for what is inlined more often takes longer to compile.
    for k in range(st.counters[QUEUED]):
        take_out(tb, st, wide(st.queue[k]))
    for k in range(st.counters[TOUCHED]):
        refresh(tb, st, wide(st.touched[k]), False)


@inlined
def _choose_around(tb: Tables, st: State, way: int) -> None:
    """Strings of stops around a visit, in one of three ways to choose it."""
    mean_out = MEAN_OUT
    if way == COLD:
        centre = _choose_cold(tb, st)
        mean_out = 0.5 * MEAN_OUT
    elif way == DETOURS:
        centre = _longest_detour(tb, st)
    else:
        centre = _some_visit(tb, st)
    if centre >= 0:
        _choose_strings(tb, st, centre, mean_out)


@inlined
def _some_visit(tb: Tables, st: State) -> int:
    """Any visit; when some are left out, half the time one of those: room is needed near it."""
    out = st.counters[OUT]
    if out > 0 and chance(st.random) < 0.5:
        return st.out[pick(st.random, out)]
    return pick(st.random, tb.visits)


@inlined
def _choose(tb: Tables, st: State, visit: int) -> None:
    """Put a visit on the queue of those to be taken out, once."""
    workday = st.on[visit]
    if workday < 0 or tb.fixed[visit] or st.asked[visit] == st.counters[ROUND]:
        return
    st.asked[visit] = st.counters[ROUND]
    st.queue[st.counters[QUEUED]] = visit
    st.counters[QUEUED] += 1
    st.seen[workday] = st.counters[SEEN]


@inlined
def _choose_strings(tb: Tables, st: State, centre: int, mean_out: float) -> None:
    """SISR: a string of stops out of each of several routes that pass near `centre`."""
    # 1. How long the strings are and how many (SISR, equations 5 to 7).
    placed = tb.visits - st.counters[OUT]
    worked = 0
    for w in range(tb.workdays):
        worked += st.count[w] > 0
    if worked == 0:
        return
    longest = min(LONGEST_STRING, placed / worked)
    most_strings = 4.0 * mean_out / (1.0 + longest) - 1.0
    strings = int(1.0 + chance(st.random) * most_strings)
    # 2. Outward from the centre, the routes of its neighbours, each once.
    chosen = 0
    for k in range(-1, tb.near.shape[1]):
        visit = centre if k < 0 else tb.near[centre, k]
        if visit < 0 or chosen >= strings:
            break
        workday = st.on[visit]
        if workday < 0 or st.seen[workday] == st.counters[SEEN]:
            continue
        chosen += 1
        length = int(1.0 + chance(st.random) * min(longest, float(st.count[workday])))
        _choose_string(tb, st, visit, workday, length)


@inlined
def _choose_string(tb: Tables, st: State, visit: int, workday: int, length: int) -> None:
    """Choose `length` stops in a row around `visit`, sometimes sparing some between them."""
    count = st.count[workday]
    length = min(length, count)
    spared = 0
    if length > 1 and length < count and chance(st.random) < SPLIT:
        spared = 1 + pick(st.random, min(count - length, length))
    # 1. Begin so far in front that `visit` lies within the string.
    node = visit
    for _ in range(pick(st.random, length + spared)):
        if st.before[node] >= tb.visits:
            break
        node = st.before[node]
    # 2. Walk along it; the spared stops come after the first one taken.
    for position in range(length + spared):
        if node >= tb.visits:
            return
        following = st.after[node]
        if position == 0 or position > spared or node == visit:
            _choose(tb, st, node)
        node = following


@inlined
def _choose_days(tb: Tables, st: State) -> None:
    """One or two whole days that serve the same corner."""
    centre = _some_visit(tb, st)
    left = 1 + pick(st.random, 2)
    for k in range(-1, tb.near.shape[1]):
        visit = centre if k < 0 else tb.near[centre, k]
        if visit < 0 or left == 0:
            return
        workday = st.on[visit]
        if workday >= 0 and st.seen[workday] != st.counters[SEEN]:
            _choose_day(tb, st, workday)
            left -= 1


@inlined
def _choose_day(tb: Tables, st: State, workday: int) -> None:
    node = st.after[tb.visits + workday]
    while node < tb.visits:
        following = st.after[node]
        _choose(tb, st, node)
        node = following


@inlined
def _choose_scattered(tb: Tables, st: State) -> None:
    """Visits from anywhere: what no corner has in common."""
    for _ in range(3 + pick(st.random, 8)):
        _choose(tb, st, pick(st.random, tb.visits))


@inlined
def _choose_cold(tb: Tables, st: State) -> int:
    """Of the worst timed of some workdays every other visit; one of them, -1 for none."""
    worst = -1
    for _ in range(8):
        workday = st.on[pick(st.random, tb.visits)]
        if workday >= 0 and (worst < 0 or _cold(st, workday) > _cold(st, worst)):
            worst = workday
    if worst < 0:
        return -1
    node, centre = st.after[tb.visits + worst], -1
    while node < tb.visits:
        following = st.after[node]
        if chance(st.random) < 0.5:
            _choose(tb, st, node)
            centre = node
        node = following
    return centre


@inlined
def _cold(st: State, workday: int) -> float:
    return float(st.timing[workday] + st.late[workday])


@inlined
def _longest_detour(tb: Tables, st: State) -> int:
    """Of some visits the one whose stop lengthens its route most."""
    worst, longest = pick(st.random, tb.visits), -1.0
    for _ in range(8):
        visit = pick(st.random, tb.visits)
        if st.on[visit] < 0:
            continue
        previous, following = tb.place[st.before[visit]], tb.place[st.after[visit]]
        detour = st.hop[visit] + st.hop[st.after[visit]] - drive(tb, previous, following)
        if detour > longest:
            worst, longest = visit, detour
    return worst
