"""Terms and due windows: which days an agreement's visits may fall on. Pure.

Windows are common practice, no source: cooling systems are checked in spring
before the first heat wave, heating systems in autumn before the first frost.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from kit.when import add_months

COOLING, HEATING, BOTH = "cooling", "heating", "both"

# Month and day, first and last, in which a kind of check makes sense.
SPRING = ((3, 1), (6, 15))
AUTUMN = ((9, 1), (11, 30))
# A term that touches a window for fewer days than this leaves no fair chance
# to come, so the term's next window counts instead.
FAIR_CHANCE_DAYS = 28


@dataclass(frozen=True, slots=True)
class Term:
    """The days an agreement runs, both included; `number` counts from 0."""

    number: int
    starts_on: dt.date
    ends_on: dt.date


@dataclass(frozen=True, slots=True)
class Owed:
    """A visit that a term owes: its kind, its count within the term, its due window."""

    kind: str
    number: int
    due_from: dt.date
    due_until: dt.date


def term(anchor: dt.date, months: int, number: int) -> Term:
    """The `number`-th term of an agreement first begun on `anchor`.

    Counted from the anchor each time, so that an agreement begun on 29 February
    ends on the 28th in common years and returns to the 29th in leap years.
    """
    if months < 1:
        raise ValueError(f"A term lasts at least one month, not {months}.")
    starts_on = add_months(anchor, months * number)
    next_starts_on = add_months(anchor, months * (number + 1))
    return Term(number, starts_on, next_starts_on - dt.timedelta(days=1))


def due_window(kind: str, of: Term) -> tuple[dt.date, dt.date]:
    """First and last day on which a check of `kind` is due within the term.

    The first window that leaves a fair chance; else the longest; else the whole
    term (a term of three winter months still owes what it promised).
    """
    first, last = AUTUMN if kind == HEATING else SPRING
    cut = [
        (max(dt.date(year, *first), of.starts_on), min(dt.date(year, *last), of.ends_on))
        for year in range(of.starts_on.year, of.ends_on.year + 1)
    ]
    cut = [(a, b) for a, b in cut if a <= b]
    if not cut:
        return of.starts_on, of.ends_on
    fair = [(a, b) for a, b in cut if (b - a).days + 1 >= FAIR_CHANCE_DAYS]
    return fair[0] if fair else max(cut, key=lambda window: window[1] - window[0])


def owed_in(of: Term, *, cooling: int, heating: int, together: bool) -> list[Owed]:
    """Every visit that a term owes; `together` joins a cooling and a heating check in one."""
    joined = min(cooling, heating) if together else 0
    counts = [(BOTH, joined), (COOLING, cooling - joined), (HEATING, heating - joined)]
    return [
        Owed(kind, number, *due_window(kind, of))
        for kind, count in counts
        for number in range(1, count + 1)
    ]


def owed_from(
    of: Term, begins: dt.date, *, cooling: int, heating: int, together: bool
) -> list[Owed]:
    """What a term still owes to an agreement that begins inside it: what has a fair chance."""
    found = []
    for owed in owed_in(of, cooling=cooling, heating=heating, together=together):
        due_from = max(owed.due_from, begins)
        if begins <= of.starts_on or _fair(due_from, owed.due_until):
            found.append(Owed(owed.kind, owed.number, due_from, owed.due_until))
    return found


def window_around(
    kind: str, due_from: dt.date, due_until: dt.date, first: dt.date, last: dt.date
) -> tuple[dt.date, dt.date]:
    """Where a due window goes when nobody may come from `first` to `last` (a pause).

    The longer fair piece that the pause leaves of it; else the next window of its kind after the
    pause, even beyond the term: what was promised stays promised.
    """
    if last < due_from or first > due_until:
        return due_from, due_until
    day = dt.timedelta(days=1)
    pieces = [(due_from, first - day), (last + day, due_until)]
    fair = [piece for piece in pieces if _fair(*piece)]
    if fair:
        return max(fair, key=lambda piece: piece[1] - piece[0])
    return due_window(kind, term(last + day, 12, 0))


def _fair(first: dt.date, last: dt.date) -> bool:
    return (last - first).days + 1 >= FAIR_CHANCE_DAYS
