"""How evenly the technicians are busy, and what unevenness costs."""

from .compiled import inlined
from .tables import State, Tables


@inlined
def count_busy(tb: Tables, st: State) -> None:
    """Of each technician, the mean minutes a workday of driving and working."""
    for technician in range(st.busy.shape[0]):
        st.busy[technician] = 0.0
    for workday in range(tb.workdays):
        minutes = st.drive[workday]
        node = st.after[tb.visits + workday]
        while node < tb.visits:
            minutes += tb.service[node]
            node = st.after[node]
        busier(tb, st, workday, minutes)


@inlined
def uneven_price(tb: Tables, st: State) -> float:
    """The price of the minutes between the longest and the shortest mean day."""
    longest, shortest = st.busy[0], st.busy[0]
    for technician in range(1, st.busy.shape[0]):
        longest = max(longest, st.busy[technician])
        shortest = min(shortest, st.busy[technician])
    return float(tb.uneven * (longest - shortest))


@inlined
def busier(tb: Tables, st: State, workday: int, minutes: float) -> None:
    st.busy[tb.technician[workday]] += minutes * tb.shares[workday]


@inlined
def uneven_guide(tb: Tables, st: State, workday: int) -> float:
    """Price of a minute more for the technician of a workday, as a guide: dear for the busiest."""
    longest, shortest = st.busy[0], st.busy[0]
    for technician in range(1, st.busy.shape[0]):
        longest = max(longest, st.busy[technician])
        shortest = min(shortest, st.busy[technician])
    if longest - shortest < 1e-6:
        return 0.0
    place = (st.busy[tb.technician[workday]] - shortest) / (longest - shortest)
    return float(tb.uneven * tb.shares[workday] * (2.0 * place - 1.0))
