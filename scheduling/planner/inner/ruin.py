"""Taking visits out: the first half of a round of ruin and recreate.

Ruin and recreate: Schrimpf, Schneider, Stamm-Wilbrandt and Dueck 2000. Strings of neighbouring
routes: Christiaens and Vanden Berghe 2020 (SISR). Several ways, chosen by what they earned: Ropke
and Pisinger 2006 (ALNS). All cited from memory.
"""

from .chance import chance, pick
from .compiled import inlined, part
from .drives import drive
from .routes import refresh, take_out
from .tables import OUT, ROUND, TOUCHED, State, Tables

MEAN_OUT = 6.0
"""Visits taken out in a usual round (SISR's c-bar)."""
LONGEST_STRING = 10.0
"""SISR's L-max."""
SPLIT = 0.5
"""How often a string leaves some visits in its middle where they are."""
STRINGS, WHOLE_DAYS, SCATTERED, COLD, DETOURS = range(5)


@part
def ruin(tb: Tables, st: State, way: int) -> None:
    """Take some visits out by one of the ways above, and refresh what they leave behind."""
    if way == STRINGS:
        ruin_strings(tb, st, _some_visit(tb, st), MEAN_OUT)
    elif way == WHOLE_DAYS:
        ruin_days(tb, st)
    elif way == SCATTERED:
        ruin_scattered(tb, st)
    elif way == COLD:
        ruin_cold(tb, st)
    else:
        ruin_strings(tb, st, _longest_detour(tb, st), MEAN_OUT)
    for k in range(st.counters[TOUCHED]):
        refresh(tb, st, st.touched[k])


@inlined
def _some_visit(tb: Tables, st: State) -> int:
    """Any visit; when some are left out, half the time one of those: room is needed near it."""
    out = st.counters[OUT]
    if out > 0 and chance(st.random) < 0.5:
        return st.out[pick(st.random, out)]
    return pick(st.random, tb.visits)


@inlined
def _take(tb: Tables, st: State, visit: int) -> None:
    if st.on[visit] >= 0 and not tb.fixed[visit]:
        take_out(tb, st, visit)


@part
def ruin_strings(tb: Tables, st: State, centre: int, mean_out: float) -> None:
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
    first = st.counters[TOUCHED]
    for k in range(-1, tb.near.shape[1]):
        visit = centre if k < 0 else tb.near[centre, k]
        if visit < 0 or st.counters[TOUCHED] - first >= strings:
            break
        workday = st.on[visit]
        if workday < 0 or st.touched_mark[workday] == st.counters[ROUND]:
            continue
        length = int(1.0 + chance(st.random) * min(longest, float(st.count[workday])))
        _ruin_string(tb, st, visit, workday, length)


@part
def _ruin_string(tb: Tables, st: State, visit: int, workday: int, length: int) -> None:
    """Take out `length` stops in a row around `visit`, sometimes sparing some between them."""
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
            _take(tb, st, node)
        node = following


@part
def ruin_days(tb: Tables, st: State) -> None:
    """One or two whole days that serve the same corner."""
    centre = _some_visit(tb, st)
    left = 1 + pick(st.random, 2)
    for k in range(-1, tb.near.shape[1]):
        visit = centre if k < 0 else tb.near[centre, k]
        if visit < 0 or left == 0:
            return
        if st.on[visit] >= 0:
            _empty(tb, st, st.on[visit])
            left -= 1


@part
def _empty(tb: Tables, st: State, workday: int) -> None:
    node = st.after[tb.visits + workday]
    while node < tb.visits:
        following = st.after[node]
        _take(tb, st, node)
        node = following


@part
def ruin_scattered(tb: Tables, st: State) -> None:
    """Visits from anywhere: what no corner has in common."""
    for _ in range(3 + pick(st.random, 8)):
        _take(tb, st, pick(st.random, tb.visits))


@part
def ruin_cold(tb: Tables, st: State) -> None:
    """The worst timed of some workdays, its dearest visits, and strings near one of them."""
    worst = -1
    for _ in range(8):
        workday = st.on[pick(st.random, tb.visits)]
        if workday >= 0 and (worst < 0 or _cold(st, workday) > _cold(st, worst)):
            worst = workday
    if worst < 0 or st.count[worst] == 0:
        return
    node, centre = st.after[tb.visits + worst], -1
    while node < tb.visits:
        following = st.after[node]
        if chance(st.random) < 0.5:
            _take(tb, st, node)
            centre = node
        node = following
    if centre >= 0:
        ruin_strings(tb, st, centre, 0.5 * MEAN_OUT)


@inlined
def _cold(st: State, workday: int) -> float:
    return float(st.timing[workday] + st.late[workday])


@part
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
