"""Where an agreement stands in money: asked, paid, open, to go back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from agreements.models import Agreement, Charge, Payment, Refund
from agreements.money.amounts import ZERO, cents
from agreements.money.schedule import Due, still_open


@dataclass(frozen=True, slots=True)
class Account:
    """USD. `paid`: payments less reversals; `dues`: what is open of each charge, oldest first."""

    asked: Decimal
    paid: Decimal
    refunded: Decimal
    dues: tuple[Due, ...]

    @property
    def net_paid(self) -> Decimal:
        return self.paid - self.refunded

    @property
    def balance(self) -> Decimal:
        """Above 0: still to be paid, now or later; below 0: to go back."""
        return self.asked - self.net_paid

    @property
    def to_go_back(self) -> Decimal:
        return max(-self.balance, ZERO)

    def open_by(self, day: dt.date) -> list[Due]:
        """What is due by this day and not paid."""
        return [due for due in self.dues if due.on <= day]

    def due_now(self, day: dt.date) -> Decimal:
        return sum((due.amount for due in self.open_by(day)), ZERO)

    def overdue_days(self, day: dt.date) -> int:
        """Since when the oldest open payment is overdue; 0 when none is."""
        return max((day - self.dues[0].on).days, 0) if self.dues else 0

    def next_due(self, day: dt.date) -> Due | None:
        return next((due for due in self.dues if due.on > day), None)


def account_of(agreement: Agreement) -> Account:
    """Where this agreement stands: three queries."""
    return accounts_of([agreement])[agreement.pk]


def accounts_of(agreements: Iterable[Agreement]) -> dict[int, Account]:
    """Where each of them stands, by primary key; three queries for any number."""
    keys = [agreement.pk for agreement in agreements]
    charges: dict[int, list[Due]] = {key: [] for key in keys}
    for charge in Charge.objects.standing().filter(agreement__in=keys):
        charges[charge.agreement_id].append(Due(charge.due_on, charge.amount, charge.pk))
    paid, refunded = _sums(Payment, keys), _sums(Refund, keys)
    return {
        key: _account(dues, paid.get(key, ZERO), refunded.get(key, ZERO))
        for key, dues in charges.items()
    }


def _account(dues: list[Due], paid: Decimal, refunded: Decimal) -> Account:
    asked = sum((due.amount for due in dues), ZERO)
    return Account(asked, paid, refunded, tuple(still_open(dues, paid - refunded)))


def _sums(model: type[Payment] | type[Refund], keys: list[int]) -> dict[int, Decimal]:
    rows = model._default_manager.filter(agreement__in=keys).values_list("agreement")
    sums = rows.annotate(total=Sum("amount")).order_by()
    return {key: cents(total) for key, total in sums}  # SQLite sums in binary fractions
