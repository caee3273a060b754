"""Which agreements were asked for more, or less, than was paid: one query in the database.

Only those whose kept balance is not zero are looked at: of five years of ten thousand homes, fifty
thousand charges and as many payments, that is this year's few.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import OuterRef, Q, Subquery, Sum

from agreements.models import Balance, Charge
from agreements.money.amounts import ZERO, cents
from shop.models import Branch


@dataclass(frozen=True, slots=True)
class Uneven:
    """By agreement, USD. `owed`: asked for and not paid; `too_much`: paid for what has ended."""

    owed: dict[int, Decimal]
    too_much: dict[int, Decimal]


def uneven(branch: Branch, day: dt.date) -> Uneven:
    """What was asked for by the end of a day and is not paid, and what is to go back.

    As an account says it: money and credits, also those of a later day, pay the oldest due first.
    """
    # The day stands in the sum, not beside the agreement: a database that knows too little of its
    # rows would else go through all later days for each agreement.
    later = Q(withdrawn_on=None, due_on__gt=day, amount__gt=0)
    charges = Charge.objects.filter(agreement=OuterRef("agreement")).order_by().values("agreement")
    sums = charges.annotate(sum=Sum("amount", filter=later)).values("sum")
    ended = Q(agreement__cancelled_on__lte=day) | Q(agreement__ends_on__lt=day)
    rows = (
        Balance.objects.filter(agreement__home__customer__branch=branch)
        .filter(Q(cents__gt=0) | Q(ended, cents__lt=0))
        .annotate(later=Subquery(sums))
        .values_list("agreement", "cents", "later")
    )
    stand = {key: (_dollars(kept), cents(later or ZERO)) for key, kept, later in rows}
    return Uneven(
        {key: left - later for key, (left, later) in stand.items() if left > later},
        {key: -left for key, (left, _) in stand.items() if left < 0},
    )


def _dollars(whole_cents: int) -> Decimal:
    return cents(Decimal(whole_cents) / 100)


def owed_by(branch: Branch, day: dt.date) -> dict[int, Decimal]:
    """What each agreement was asked for by the end of a day and has not paid."""
    return uneven(branch, day).owed
