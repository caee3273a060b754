"""Verbs about what is due."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from django.db import transaction

from agreements.models import Agreement, Charge, ChargeKind
from agreements.money.amounts import ZERO, exact
from agreements.money.schedule import payments


def ask_for_term(*, agreement: Agreement) -> list[Charge]:
    """Write down the payments of a term. Safe to repeat."""
    dues = payments(
        Decimal(agreement.price), agreement.starts_on, agreement.ends_on, agreement.rhythm
    )
    return Charge.objects.bulk_create(
        [Charge(agreement=agreement, due_on=due.on, amount=due.amount) for due in dues],
        ignore_conflicts=True,
    )


def follow_price(*, agreement: Agreement, on: dt.date) -> None:
    """Make the charges of an agreement whose price was corrected sum to it again.

    One that came in with a spreadsheet asks for nothing, whatever its price.
    """
    asked = [charge.amount for charge in agreement.charges.standing()]
    difference = exact(Decimal(agreement.price) - sum(asked, ZERO))
    if asked and difference:
        Charge.objects.create(
            agreement=agreement, kind=ChargeKind.PRICE, due_on=on, amount=difference
        )


@transaction.atomic
def settle_charges(*, agreement: Agreement, kept: Decimal, ends: dt.date) -> None:
    """Make the charges of an agreement that ends sum to what the shop keeps of it.

    Payments due on or after the end are let go; the rest is one entry, a charge or a credit.
    """
    agreement.charges.standing().filter(due_on__gte=ends).update(withdrawn_on=ends)
    asked = sum(agreement.charges.standing().values_list("amount", flat=True), ZERO)
    if difference := exact(kept - asked):
        Charge.objects.create(
            agreement=agreement, kind=ChargeKind.ENDING, due_on=ends, amount=difference
        )
