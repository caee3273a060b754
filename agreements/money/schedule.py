"""Which payments a term asks for, what of them is still open, and for how long. Pure.

Days are calendar days: a change of the clock moves nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from agreements.money.amounts import ZERO, split
from kit.when import add_months

YEARLY, MONTHLY = "yearly", "monthly"
_EVERY = {YEARLY: 12, MONTHLY: 1}  # months
# By so much the day of a short month lies before the one it stands for (the 28th for the 31st).
_SHORT_MONTH = dt.timedelta(days=3)

# Days past due, last of each column; the columns that bookkeepers use (common practice, no source).
CURRENT, TO_30, TO_60, TO_90, OVER_90 = "current", "1-30", "31-60", "61-90", "over 90"
BUCKETS = (CURRENT, TO_30, TO_60, TO_90, OVER_90)
_LAST_DAY = ((0, CURRENT), (30, TO_30), (60, TO_60), (90, TO_90))


@dataclass(frozen=True, slots=True)
class Due:
    """An amount and the day on which it is due. `key`: whatever the caller knows it by."""

    on: dt.date
    amount: Decimal
    key: int | None = None


def due_days(first: dt.date, last: dt.date, rhythm: str) -> list[dt.date]:
    """The days on which a term from `first` to `last` asks for money, its first day among them.

    Counted from the first day each time, so that the 31st is paid on the last day of a short
    month and on the 31st again after it. What a term is longer than whole months by that alone
    (February 28 to the 28th of a leap year) asks for nothing more.
    """
    if rhythm not in _EVERY:
        raise ValueError(f"Payments are {' or '.join(_EVERY)}, not {rhythm!r}.")
    if last < first:
        raise ValueError("A term ends on or after its first day.")
    days, number = [first], 1
    while (day := add_months(first, number * _EVERY[rhythm])) + _SHORT_MONTH <= last:
        days.append(day)
        number += 1
    return days


def payments(price: Decimal, first: dt.date, last: dt.date, rhythm: str) -> list[Due]:
    """The price of a term in equal parts that sum to it to the cent; no part of $0.

    Raises ValueError, and NotWholeCents for a price with a fraction of a cent.
    """
    days = due_days(first, last, rhythm)
    parts = split(price, [1] * len(days))
    return [Due(day, amount) for day, amount in zip(days, parts, strict=True) if amount]


def still_open(dues: Iterable[Due], paid: Decimal) -> list[Due]:
    """What is left of the dues, earliest first: money pays the oldest debt first.

    Credits (negative dues) count as money; what is paid beyond all dues is left over.
    """
    dues = sorted(dues, key=lambda due: due.on)
    money = paid - sum((due.amount for due in dues if due.amount < 0), ZERO)
    left = []
    for due in dues:
        if due.amount <= 0:
            continue
        used = min(money, due.amount)
        money -= used
        if due.amount > used:
            left.append(Due(due.on, due.amount - used, due.key))
    return left


def bucket(due_on: dt.date, today: dt.date) -> str:
    """The column of an amount due on that day: "current" until the day itself has passed."""
    late = (today - due_on).days
    return next((name for last, name in _LAST_DAY if late <= last), OVER_90)


def aged(dues: Sequence[Due], today: dt.date) -> dict[str, Decimal]:
    """What is open in each column, in the order of the columns; the sums add up to all of it."""
    sums = dict.fromkeys(BUCKETS, ZERO)
    for due in dues:
        sums[bucket(due.on, today)] += due.amount
    return sums
