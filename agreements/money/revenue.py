"""What of an agreement's price is earned in which month, and the journal that says so. Pure.

Two ways of ASC 606 ("Revenue from Contracts with Customers", FASB), which a shop chooses between
with its accountant:

* straight-line: being ready for the customer all term long is one obligation, satisfied evenly
  over time (606-10-25-27(a), 606-10-25-31; 606-10-55-184 ff., Example 18, a health club);
* by visits: each check is a distinct service (606-10-25-19); the price is divided among them by
  relative stand-alone price (606-10-32-31) and earned when each is carried out. A visit that the
  customer lets go is earned that day: a right not exercised, "breakage" (606-10-55-46 ff.).

These are computations for the accountant, no advice.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from agreements.money.amounts import ZERO, exact, split


@dataclass(frozen=True, slots=True)
class MonthAmount:
    """An amount of a calendar month; `month` is its first day."""

    month: dt.date
    amount: Decimal

    @property
    def booked_on(self) -> dt.date:
        """The last day of the month."""
        return last_day(self.month)


@dataclass(frozen=True, slots=True)
class Distinct:
    """A visit as a distinct service. `earned_on` None: not carried out or let go yet."""

    stand_alone: Decimal
    earned_on: dt.date | None


@dataclass(frozen=True, slots=True)
class MonthBalance:
    """A month's billed and earned, and what is deferred at its end.

    Deferred below 0: more is earned than was billed (a contract asset, 606-10-45-1).
    """

    month: dt.date
    billed: Decimal
    earned: Decimal
    deferred: Decimal

    @property
    def booked_on(self) -> dt.date:
        """The last day of the month."""
        return last_day(self.month)


def last_day(month: dt.date) -> dt.date:
    return month.replace(day=calendar.monthrange(month.year, month.month)[1])


def month_of(day: dt.date) -> dt.date:
    return day.replace(day=1)


def straight_line(price: Decimal, first: dt.date, last: dt.date) -> list[MonthAmount]:
    """The price of a term, each day alike, by calendar month; sums to the price to the cent."""
    if last < first:
        raise ValueError("A term ends on or after its first day.")
    months: list[dt.date] = []
    days: list[int] = []
    begins = first
    while begins <= last:
        ends = min(begins.replace(day=calendar.monthrange(begins.year, begins.month)[1]), last)
        months.append(month_of(begins))
        days.append((ends - begins).days + 1)
        begins = ends + dt.timedelta(days=1)
    return [MonthAmount(*pair) for pair in zip(months, split(price, days), strict=True)]


def allocated(price: Decimal, visits: Sequence[Distinct]) -> list[Decimal]:
    """The price divided among the visits by relative stand-alone price; sums to the price."""
    return split(price, [visit.stand_alone for visit in visits])


def by_visits(price: Decimal, visits: Sequence[Distinct]) -> list[MonthAmount]:
    """What is earned by the visits carried out or let go, by month; the rest is deferred."""
    months: dict[dt.date, Decimal] = defaultdict(lambda: ZERO)
    for visit, amount in zip(visits, allocated(price, visits), strict=True):
        if visit.earned_on is not None:
            months[month_of(visit.earned_on)] += amount
    return [MonthAmount(month, months[month]) for month in sorted(months)]


def ended_early(earned: Iterable[MonthAmount], kept: Decimal, ends: dt.date) -> list[MonthAmount]:
    """The months of an agreement that ended before its term: they sum to what was kept of it.

    Months before the one of `ends` stay as they were booked; that month takes the difference, so
    no closed month changes. It may be negative, where more was booked than was kept.
    """
    last = month_of(ends)
    before = [month for month in earned if month.month < last]
    rest = exact(kept) - sum((month.amount for month in before), ZERO)
    return [*before, MonthAmount(last, rest)] if rest else before


def balances(
    billed: Iterable[tuple[dt.date, Decimal]], earned: Iterable[MonthAmount]
) -> list[MonthBalance]:
    """Every month from the first to the last with something in it, and what it leaves deferred."""
    bills: dict[dt.date, Decimal] = defaultdict(lambda: ZERO)
    earns: dict[dt.date, Decimal] = defaultdict(lambda: ZERO)
    for day, amount in billed:
        bills[month_of(day)] += amount
    for month in earned:
        earns[month.month] += month.amount
    found, deferred = [], ZERO
    for month_ in _months({*bills, *earns}):
        deferred += bills[month_] - earns[month_]
        found.append(MonthBalance(month_, bills[month_], earns[month_], deferred))
    return found


def _months(some: set[dt.date]) -> list[dt.date]:
    if not some:
        return []
    found, month = [], min(some)
    while month <= max(some):
        found.append(month)
        month = month_of(month + dt.timedelta(days=31))
    return found


@dataclass(frozen=True, slots=True)
class Accounts:
    """What the shop calls the accounts that agreements touch."""

    cash: str = "Cash"
    receivable: str = "Accounts receivable"
    deferred: str = "Deferred agreement revenue"
    revenue: str = "Agreement revenue"
    # Between two agreements of one customer, when one goes on as another; its sum is 0.
    moved: str = "Moved between agreements"


@dataclass(frozen=True, slots=True)
class JournalLine:
    """One side of an entry; the other amount is 0."""

    account: str
    debit: Decimal
    credit: Decimal


class Unbalanced(ValueError):
    """Debits and credits of an entry differ; it says by how much."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A journal entry whose debits equal its credits. Raises Unbalanced."""

    on: dt.date
    words: str
    lines: tuple[JournalLine, ...]

    def __post_init__(self) -> None:
        debits = sum((line.debit for line in self.lines), ZERO)
        credits = sum((line.credit for line in self.lines), ZERO)
        if debits != credits:
            raise Unbalanced(f"{self.words}: debits {debits} and credits {credits} differ.")


def entry(on: dt.date, words: str, debit: str, credit: str, amount: Decimal) -> Entry:
    """An amount from one account to another; a negative amount goes the other way."""
    if amount < 0:
        debit, credit = credit, debit
    amount = exact(abs(amount))
    lines = (JournalLine(debit, amount, ZERO), JournalLine(credit, ZERO, amount))
    return Entry(on, words, lines)


def billed_entry(on: dt.date, amount: Decimal, names: Accounts) -> Entry:
    """A payment falls due (negative: a credit)."""
    return entry(on, "Payment due", names.receivable, names.deferred, amount)


def paid_entry(on: dt.date, amount: Decimal, names: Accounts) -> Entry:
    """Money comes in (negative: a payment is reversed)."""
    return entry(on, "Payment received", names.cash, names.receivable, amount)


def moved_entry(on: dt.date, amount: Decimal, names: Accounts) -> Entry:
    """Money that was paid for one agreement counts for another (negative: is taken from it)."""
    return entry(on, "Moved between agreements", names.moved, names.receivable, amount)


def refund_entry(on: dt.date, amount: Decimal, names: Accounts) -> Entry:
    """Money goes back."""
    return entry(on, "Refund", names.receivable, names.cash, amount)


def earned_entries(months: Iterable[MonthAmount], names: Accounts) -> list[Entry]:
    """What each month earns, booked on its last day."""
    return [
        entry(month.booked_on, "Earned", names.deferred, names.revenue, month.amount)
        for month in months
        if month.amount
    ]


def ledger(entries: Iterable[Entry]) -> dict[str, Decimal]:
    """Debits less credits of each account; they sum to 0."""
    sums: dict[str, Decimal] = defaultdict(lambda: ZERO)
    for one in entries:
        for line in one.lines:
            sums[line.account] += line.debit - line.credit
    return dict(sums)
