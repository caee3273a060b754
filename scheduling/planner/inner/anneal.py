"""Rounds of ruin and recreate under simulated annealing (Kirkpatrick et al. 1983, from memory)."""

import math

from .chance import chance, pick
from .compiled import compiled, inlined
from .even import count_busy, uneven_price
from .recreate import recreate
from .routes import (
    begin_round,
    change_of_round,
    copy_ints,
    price_of,
    refresh,
    set_hops,
    undo_round,
)
from .ruin import ruin
from .tables import BEST, NOW, ORDERS, OUT, ROUND, RUINS, SPREAD, State, Tables
from .timing import set_ends

SPELL = 200
"""Rounds after which the weights of the ruins are renewed (ALNS)."""
MEMORY = 0.8
"""Part of an old weight that a spell leaves standing."""
LEAST_WEIGHT = 0.05
FOR_BEST, FOR_BETTER, FOR_TAKEN = 10.0, 4.0, 1.0
"""What a ruin earns for a new best plan, a better plan, a dearer one that was taken all the same.
Nothing for the same plan again: else what always puts everything back would be thought best."""
NOTHING = 1e-9


@compiled
def refresh_all(tb: Tables, st: State) -> None:
    """Derive everything anew, and the total price (the fixed part of kept visits apart)."""
    total = 0.0
    for workday in range(tb.workdays):
        set_ends(tb, st, workday)
        set_hops(tb, st, workday)
        refresh(tb, st, workday, True)
        total += price_of(st, workday)
    for k in range(st.counters[OUT]):
        total += tb.unplaced[st.out[k]]
    count_busy(tb, st)
    st.total[SPREAD] = uneven_price(tb, st)
    st.total[NOW] = total + st.total[SPREAD]


@compiled
def keep_best(st: State) -> None:
    copy_ints(st.after, st.best_after, st.after.shape[0])
    copy_ints(st.on, st.best_on, st.on.shape[0])
    st.total[BEST] = st.total[NOW]


@compiled
def anneal(tb: Tables, st: State, rounds: int, temperature: float) -> None:
    """`rounds` rounds at one temperature (minutes); the best plan is kept beside the current."""
    for _ in range(rounds):
        # 1. Ruin and recreate.
        way = _choose(st)
        begin_round(st)
        out_before = st.counters[OUT]
        ruin(tb, st, way)
        recreate(tb, st, pick(st.random, ORDERS), st.counters[OUT] - out_before)
        # 2. Take the new plan, or undo it.
        change = change_of_round(tb, st)
        earned = 0.0
        if change < -temperature * math.log(1.0 - chance(st.random)):
            if abs(change) > NOTHING:
                earned = FOR_BETTER if change < 0.0 else FOR_TAKEN
            st.total[NOW] += change
            st.total[SPREAD] = uneven_price(tb, st)
            if st.total[NOW] < st.total[BEST] - 1e-6:
                keep_best(st)
                earned = FOR_BEST
        else:
            undo_round(tb, st)
        # 3. Learn which ruins pay.
        st.gains[way] += earned
        st.uses[way] += 1.0
        if st.counters[ROUND] % SPELL == 0:
            _learn(st)


@inlined
def _choose(st: State) -> int:
    """A way of ruining, by roulette on the weights."""
    total = 0.0
    for way in range(RUINS):
        total += st.weights[way]
    left = chance(st.random) * total
    for way in range(RUINS - 1):
        left -= st.weights[way]
        if left < 0:
            return way
    return RUINS - 1


@inlined
def _learn(st: State) -> None:
    for way in range(RUINS):
        if st.uses[way] > 0:
            lately = st.gains[way] / st.uses[way]
            st.weights[way] = max(LEAST_WEIGHT, MEMORY * st.weights[way] + (1 - MEMORY) * lately)
        st.gains[way] = 0.0
        st.uses[way] = 0.0
