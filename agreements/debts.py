"""Who owes what since when, and to whom money is to go back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import DecimalField, F, OuterRef, Q, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from agreements.accounts import Account, accounts_of
from agreements.models import Agreement, Charge, Payment, Refund
from agreements.models.agreement import AgreementQuerySet
from agreements.money.amounts import CENT, ZERO
from agreements.money.schedule import BUCKETS, aged, bucket
from shop.models import Branch

TO_GO_BACK = "to go back"
_USD = DecimalField(max_digits=10, decimal_places=2)


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
    due = Charge.objects.standing().filter(Q(due_on__lte=today))
    found = _with_sums(branch, due).filter(asked__gt=F("net") + CENT / 2)  # type: ignore[misc]
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
    ended = Q(cancelled_on__lte=today) | Q(ends_on__lt=today)
    found = _with_sums(branch, Charge.objects.standing()).filter(
        ended,
        net__gt=F("asked") + CENT / 2,  # type: ignore[misc]
    )
    accounts = accounts_of(found)
    return [
        Debt(one, back, one.cancelled_on or one.ends_on, TO_GO_BACK, {TO_GO_BACK: back})
        for one in found
        if (back := accounts[one.pk].to_go_back)
    ]


def _with_sums(branch: Branch, charges) -> AgreementQuerySet:
    """With `asked` of these charges, and `net`: paid less given back (unseen by the checker)."""
    return (
        Agreement.objects.of(branch)
        .annotate(
            asked=_sum_of(charges),
            net=_sum_of(Payment.objects.all()) - _sum_of(Refund.objects.all()),
        )
        .select_related("plan", "version", "home__customer")
    )


def _sum_of(rows) -> Coalesce:
    mine = rows.filter(agreement=OuterRef("pk")).order_by().values("agreement")
    total = Subquery(mine.annotate(total=Sum("amount")).values("total"), output_field=_USD)
    return Coalesce(total, Value(ZERO), output_field=_USD)
