"""Which agreements were asked for more, or less, than was paid: one query in the database.

Five years of ten thousand homes are fifty thousand charges and as many payments; fetching all of
their sums to find the few that differ took most of the time of every look at Today.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import connection

from agreements.money.amounts import cents
from shop.models import Branch

# Everything that moved is added up once, in whole cents: as exact as decimals, and both databases
# add integers quickest. Only what is left over is joined with its branch.
_UNEVEN = """
WITH moved AS (
  SELECT agreement_id, CAST(ROUND(amount * 100) AS BIGINT) AS amount, due_on
  FROM agreements_charge WHERE withdrawn_on IS NULL
  UNION ALL SELECT agreement_id, -CAST(ROUND(amount * 100) AS BIGINT), NULL FROM agreements_payment
  UNION ALL SELECT agreement_id, CAST(ROUND(amount * 100) AS BIGINT), NULL FROM agreements_refund
), uneven AS MATERIALIZED (
  SELECT agreement_id, SUM(CASE WHEN due_on > %s THEN 0 ELSE amount END) AS by_then,
  SUM(amount) AS in_all FROM moved GROUP BY agreement_id
  HAVING SUM(CASE WHEN due_on > %s THEN 0 ELSE amount END) > 0 OR SUM(amount) < 0
)
SELECT uneven.agreement_id, by_then, in_all,
agreement.cancelled_on <= %s OR agreement.ends_on < %s
FROM uneven
JOIN agreements_agreement agreement ON agreement.id = uneven.agreement_id
JOIN customers_home home ON home.id = agreement.home_id
JOIN customers_customer customer ON customer.id = home.customer_id
WHERE customer.branch_id = %s
"""


@dataclass(frozen=True, slots=True)
class Uneven:
    """By agreement, USD. `owed`: asked for and not paid; `too_much`: paid for what has ended."""

    owed: dict[int, Decimal]
    too_much: dict[int, Decimal]


def uneven(branch: Branch, day: dt.date) -> Uneven:
    """What was asked for by the end of a day and is not paid, and what is to go back."""
    with connection.cursor() as cursor:
        cursor.execute(_UNEVEN, [day, day, day, day, branch.pk])
        rows = cursor.fetchall()
    return Uneven(
        {key: _dollars(owed) for key, owed, _, _ in rows if owed > 0},
        {key: _dollars(-left) for key, _, left, ended in rows if ended and left < 0},
    )


def _dollars(whole_cents: int | Decimal) -> Decimal:
    return cents(Decimal(whole_cents) / 100)


def owed_by(branch: Branch, day: dt.date) -> dict[int, Decimal]:
    """What each agreement was asked for by the end of a day and has not paid."""
    return uneven(branch, day).owed
