"""Lists of labels, (time, price) each, as every node keeps them; see timing.py."""

from .compiled import inlined
from .tables import LABELS, Floats, Ints, State


@inlined
def add_label(at: Floats, price: Floats, count: int, t: float, c: float, epsilon: float) -> int:
    """Put (t, c) among labels sorted by rising time and falling price; returns their number.

    When the list is full the first (most permissive) and the last (cheapest) are the ones to keep.
    """
    position = count
    while position > 0 and at[position - 1] >= t:
        position -= 1
    if position > 0 and price[position - 1] <= c + epsilon:
        return count
    if position < count and at[position] == t and price[position] <= c:
        return count
    # Later labels that are no cheaper have nothing to offer any more.
    kept = position
    while kept < count and price[kept] >= c - epsilon:
        kept += 1
    if kept == position and count == LABELS:
        if 0 < position < LABELS:
            return count
        position = min(position, LABELS - 1)
    elif kept == position:
        for k in range(count, position, -1):
            at[k], price[k] = at[k - 1], price[k - 1]
        count += 1
    else:
        for k in range(kept, count):
            at[position + 1 + k - kept], price[position + 1 + k - kept] = at[k], price[k]
        count += position + 1 - kept
    at[position], price[position] = t, c
    return count


@inlined
def remember(st: State, at: Floats, price: Floats, count: Ints, node: int) -> None:
    """Note the labels of a node before they are worked out anew."""
    for lunch in range(2):
        st.old_count[lunch] = count[node, lunch]
        for k in range(count[node, lunch]):
            st.old_labels[lunch, 0, k] = at[node, lunch, k]
            st.old_labels[lunch, 1, k] = price[node, lunch, k]


@inlined
def as_remembered(st: State, at: Floats, price: Floats, count: Ints, node: int) -> bool:
    for lunch in range(2):
        if st.old_count[lunch] != count[node, lunch]:
            return False
        for k in range(count[node, lunch]):
            if st.old_labels[lunch, 0, k] != at[node, lunch, k]:
                return False
            if st.old_labels[lunch, 1, k] != price[node, lunch, k]:
                return False
    return True
