"""Who owes what since when, and to whom money is to go back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from agreements.accounts import Account, accounts_of
from agreements.balances import owed_by, uneven
from agreements.models import Agreement
from agreements.money.amounts import ZERO
from agreements.money.schedule import BUCKETS, aged, bucket
from shop.models import Branch

TO_GO_BACK = "to go back"


@dataclass(frozen=True, slots=True)
class Debt:
    """An agreement with open dues: how much, since when, in which column."""

    agreement: Agreement
    amount: Decimal
    since: dt.date
    column: str
    ages: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Debts:
    """All open dues of a branch; the oldest first."""

    rows: Sequence[Debt]
    columns: tuple[str, ...]
    sums: dict[str, Decimal]

    def in_column(self, column: str) -> list[Debt]:
        return [row for row in self.rows if row.column == column or row.ages.get(column)]


def debts_of(branch: Branch, today: dt.date) -> Debts:
    """What is due by today and not paid, and what was paid too much for what has ended."""
    found = uneven(branch, today)
    rows = [*_owing(list(found.owed), today), *_credits(list(found.too_much))]
    rows.sort(key=lambda row: (row.column == TO_GO_BACK, row.since, row.agreement.pk))
    columns = (*BUCKETS, TO_GO_BACK)
    sums = {name: sum((row.ages.get(name, ZERO) for row in rows), ZERO) for name in columns}
    return Debts(rows, columns, sums)


@dataclass(frozen=True, slots=True)
class Overdue:
    """How many agreements have a payment overdue, and how much that is."""

    agreements: int
    amount: Decimal


def overdue(branch: Branch, today: dt.date) -> Overdue:
    """What was due before today and is not paid, in one query and no row of an agreement."""
    left = owed_by(branch, today - dt.timedelta(days=1))
    return Overdue(len(left), sum(left.values(), ZERO))


def _owing(keys: list[int], today: dt.date) -> list[Debt]:
    found = _agreements(keys)
    accounts = accounts_of(found)
    return [
        debt for agreement in found if (debt := _debt(agreement, accounts[agreement.pk], today))
    ]


def _debt(agreement: Agreement, account: Account, today: dt.date) -> Debt | None:
    dues = account.open_by(today)
    if not dues:
        return None
    amount = account.due_now(today)
    return Debt(agreement, amount, dues[0].on, bucket(dues[0].on, today), aged(dues, today))


def _credits(keys: list[int]) -> list[Debt]:
    """Only of agreements that have ended: before that, paid ahead is no credit."""
    found = _agreements(keys)
    accounts = accounts_of(found)
    return [
        Debt(one, back, one.cancelled_on or one.ends_on, TO_GO_BACK, {TO_GO_BACK: back})
        for one in found
        if (back := accounts[one.pk].to_go_back)
    ]


def _agreements(keys: list[int]) -> list[Agreement]:
    found = Agreement.objects.filter(pk__in=keys)
    return list(found.select_related("plan", "version", "home__customer"))
