"""The rows of agreements as a bookkeeper's journal: what was billed, paid, given back and earned.

An agreement that came in with a spreadsheet asks for nothing in Redbud: its price was billed and
earned in the books that the shop kept before, so nothing of it is posted here.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Prefetch

from agreements.models import (
    Agreement,
    Bookkeeping,
    Charge,
    How,
    OwedVisit,
    Recognition,
    bookkeeping_of,
)
from agreements.money.amounts import ZERO, exact
from agreements.money.revenue import (
    Distinct,
    Entry,
    MonthAmount,
    MonthBalance,
    balances,
    billed_entry,
    by_visits,
    earned_entries,
    ended_early,
    moved_entry,
    paid_entry,
    refund_entry,
    straight_line,
)
from kit.web.lists import A_CHUNK
from shop.models import Branch


@dataclass(frozen=True, slots=True)
class Posting:
    """One line of a journal: one side of an entry of an agreement."""

    agreement: Agreement
    number: int
    on: dt.date
    words: str
    account: str
    debit: Decimal
    credit: Decimal


CHARGES = Prefetch("charges", Charge.objects.standing(), to_attr="standing")
VISITS = Prefetch("owed_visits", OwedVisit.objects.order_by("pk"), to_attr="promised")
MOVED = (Prefetch("payments", to_attr="paid"), Prefetch("refunds", to_attr="given_back"))


def with_money(branch: Branch, books: Bookkeeping, *more: Prefetch) -> Iterator[Any]:
    """Agreements with the rows that the rule asks for and `more`, in chunks.

    Any, for `to_attr`: plain lists; a manager for each of ten thousand rows takes longer than
    the reading.
    """
    rows = Agreement.objects.of(branch).select_related("plan", "home__customer").order_by("pk")
    asked = (VISITS,) if books.recognition == Recognition.BY_VISITS else ()
    return rows.prefetch_related(CHARGES, *asked, *more).iterator(chunk_size=A_CHUNK)


def earned(agreement: Any, rule: str) -> list[MonthAmount]:
    """What each month earns of what the agreement asks; sums to it once it has ended."""
    asked = _asked(agreement)
    if not agreement.standing:
        return []
    price = exact(Decimal(agreement.price))
    if rule == Recognition.BY_VISITS and (visits := _distinct(agreement)):
        months = by_visits(price, visits)
    else:
        months = straight_line(price, agreement.starts_on, agreement.ends_on)
    if agreement.cancelled_on is not None:
        return ended_early(months, asked, agreement.cancelled_on)
    return months


def _asked(agreement: Any) -> Decimal:
    return sum((charge.amount for charge in agreement.standing), ZERO)


def _distinct(agreement: Any) -> list[Distinct]:
    """Its visits by their prices when bought alone; all alike where the plan names no prices."""
    owed = agreement.promised
    alone = [Decimal(agreement.version.alone(visit.kind)) for visit in owed]
    weights = alone if any(alone) else [Decimal(1)] * len(owed)
    return [Distinct(weight, visit.closed_on) for weight, visit in zip(weights, owed, strict=True)]


def entries_of(agreement: Any, books: Bookkeeping) -> list[Entry]:
    """All entries of an agreement, those of coming days too, by day."""
    names = books.accounts
    entries = [
        *(billed_entry(row.due_on, row.amount, names) for row in agreement.standing),
        *(
            (moved_entry if row.how == How.MOVED else paid_entry)(row.on, row.amount, names)
            for row in agreement.paid
        ),
        *(refund_entry(row.on, row.amount, names) for row in agreement.given_back),
        *earned_entries(earned(agreement, books.recognition), names),
    ]
    return sorted(entries, key=lambda entry: entry.on)


def postings(branch: Branch, first: dt.date | None, last: dt.date) -> Iterator[Posting]:
    """The journal of a period, agreement by agreement; debits and credits are equal.

    `first` None: from the beginning.
    """
    books, number = bookkeeping_of(branch), 0
    for agreement in with_money(branch, books, *MOVED):
        for entry in entries_of(agreement, books):
            if entry.on > last or (first and entry.on < first):
                continue
            number += 1
            for line in entry.lines:
                yield Posting(
                    agreement, number, entry.on, entry.words, line.account, line.debit, line.credit
                )


def revenue_by_month(branch: Branch, last: dt.date) -> list[MonthBalance]:
    """Billed and earned by month until `last`, and what is deferred at each month's end."""
    books = bookkeeping_of(branch)
    billed: list[tuple[dt.date, Decimal]] = []
    months: list[MonthAmount] = []
    for agreement in with_money(branch, books):
        billed += [(row.due_on, row.amount) for row in agreement.standing if row.due_on <= last]
        months += _until(earned(agreement, books.recognition), last)
    return balances(billed, months)


def _until(months: Iterable[MonthAmount], last: dt.date) -> list[MonthAmount]:
    """The months whose last day has come, on which they are booked."""
    return [month for month in months if month.booked_on <= last]
