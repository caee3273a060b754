"""Who owes what since when, and to whom money is to go back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Q, QuerySet, Sum

from agreements.accounts import Account, accounts_of
from agreements.models import Agreement, Charge, Payment, Refund
from agreements.money.amounts import ZERO, cents
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
    rows = [*_owing(branch, today), *_credits(branch, today)]
    rows.sort(key=lambda row: (row.column == TO_GO_BACK, row.since, row.agreement.pk))
    columns = (*BUCKETS, TO_GO_BACK)
    sums = {name: sum((row.ages.get(name, ZERO) for row in rows), ZERO) for name in columns}
    return Debts(rows, columns, sums)


def _owing(branch: Branch, today: dt.date) -> list[Debt]:
    asked = _sums(Charge.objects.of(branch).standing().filter(due_on__lte=today))
    net = _net(branch)
    found = _agreements([key for key, due in asked.items() if due > net.get(key, ZERO)])
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


def _credits(branch: Branch, today: dt.date) -> list[Debt]:
    """Only of agreements that have ended: before that, paid ahead is no credit."""
    ended = Agreement.objects.of(branch).filter(Q(cancelled_on__lte=today) | Q(ends_on__lt=today))
    asked = _sums(Charge.objects.standing().filter(agreement__in=ended))
    net = _net(branch, agreement__in=ended)
    found = _agreements([key for key, paid in net.items() if paid > asked.get(key, ZERO)])
    accounts = accounts_of(found)
    return [
        Debt(one, back, one.cancelled_on or one.ends_on, TO_GO_BACK, {TO_GO_BACK: back})
        for one in found
        if (back := accounts[one.pk].to_go_back)
    ]


def _net(branch: Branch, **only: Any) -> dict[int, Decimal]:
    """Paid less given back, of each agreement for which anything was paid."""
    paid = _sums(Payment.objects.of(branch).filter(**only))
    given = _sums(Refund.objects.filter(agreement__home__customer__branch=branch, **only))
    return {key: amount - given.get(key, ZERO) for key, amount in paid.items()}


def _sums(rows: QuerySet[Any]) -> dict[int, Decimal]:
    """Of each agreement, in one pass: subqueries for each of ten thousand take minutes."""
    totals = rows.order_by().values_list("agreement").annotate(total=Sum("amount"))
    return {key: cents(total) for key, total in totals}


def _agreements(keys: list[int]) -> list[Agreement]:
    found = Agreement.objects.filter(pk__in=keys)
    return list(found.select_related("plan", "version", "home__customer"))
