"""Verbs about money that moved. None deletes; a form sent twice is written once, by its key."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from django.db import transaction

from agreements.accounts import account_of
from agreements.actions.events import AgreementRefused, locked, note
from agreements.models import Agreement, How, Payment, Refund, What
from agreements.models.money import new_key
from agreements.money.amounts import dollars, exact
from shop.models import User


@transaction.atomic
def record_payment(
    *,
    agreement: Agreement,
    amount: Decimal,
    on: dt.date,
    how: str,
    reference: str = "",
    by: User,
    key: str = "",
) -> Payment:
    """Write down money that came in. The same `key` again gives back the payment there is."""
    locked(agreement)
    payment, new = Payment.objects.get_or_create(
        key=key or new_key(),
        defaults={
            "agreement": agreement,
            "amount": exact(amount),
            "on": on,
            "how": how,
            "reference": reference,
            "recorded_by": by,
        },
    )
    if payment.agreement_id != agreement.pk:
        raise AgreementRefused("This form belongs to another agreement; load the page again.")
    if new:
        note(agreement=agreement, what=What.PAID, words=_moved(payment), by=by)
    return payment


@transaction.atomic
def reverse_payment(*, payment: Payment, why: str, on: dt.date, by: User) -> Payment:
    """Take a payment back by a counter entry: a bounced check, an error. Safe to repeat."""
    locked(payment.agreement)
    if payment.reverses_id or payment.how == How.MOVED:
        raise AgreementRefused("A counter entry is not reversed; record the payment again.")
    counter, new = Payment.objects.get_or_create(
        reverses=payment,
        defaults={
            "agreement": payment.agreement,
            "amount": -payment.amount,
            "on": on,
            "how": payment.how,
            "reference": payment.reference,
            "recorded_by": by,
            "why": why,
        },
    )
    if new:
        words = f"{_moved(payment)} taken back: {why}"
        note(agreement=payment.agreement, what=What.REVERSED, words=words, by=by)
    return counter


@transaction.atomic
def refund(
    *,
    agreement: Agreement,
    amount: Decimal,
    on: dt.date,
    how: str,
    why: str,
    reference: str = "",
    by: User,
    key: str = "",
) -> Refund:
    """Write down money that went back. Raises AgreementRefused above what was paid."""
    locked(agreement)
    key = key or new_key()
    if twin := Refund.objects.filter(key=key).first():
        return twin
    paid = account_of(agreement).net_paid
    if exact(amount) > paid:
        raise AgreementRefused(f"{dollars(paid)} was paid and not given back; no more can go back.")
    given = Refund.objects.create(
        agreement=agreement, amount=exact(amount), on=on, how=how, reference=reference, why=why,
        recorded_by=by, key=key,
    )  # fmt: skip
    words = f"{dollars(given.amount)} by {given.get_how_display()}: {why}"
    note(agreement=agreement, what=What.REFUNDED, words=words, by=by)
    return given


def move_money(
    *, old: Agreement, new: Agreement, amount: Decimal, on: dt.date, by: User | None
) -> None:
    """What was paid too much for one agreement counts for the next: two entries that cancel out."""
    for agreement, moved in ((old, -amount), (new, amount)):
        Payment.objects.create(
            agreement=agreement, amount=moved, on=on, how=How.MOVED, recorded_by=by
        )


def _moved(payment: Payment) -> str:
    number = f", no. {payment.reference}" if payment.reference else ""
    return f"{dollars(payment.amount)} by {payment.get_how_display()}{number}"
