"""Which agreements were asked for more, or less, than was paid: one query in the database.

Five years of ten thousand homes are fifty thousand charges and as many payments; fetching all of
their sums to find the few that differ took most of the time of every look at Today.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from django.db import connection

from agreements.money.amounts import cents
from shop.models import Branch

# Only what is left over is joined with its branch. Half a cent: SQLite adds decimals as floats.
_UNEVEN = """
WITH asked AS (
  SELECT agreement_id, SUM(amount) AS total FROM agreements_charge
  WHERE withdrawn_on IS NULL AND due_on <= %s GROUP BY agreement_id
), paid AS (
  SELECT agreement_id, SUM(amount) AS total FROM agreements_payment GROUP BY agreement_id
), given AS (
  SELECT agreement_id, SUM(amount) AS total FROM agreements_refund GROUP BY agreement_id
), uneven AS MATERIALIZED (
  SELECT agreement_id, {left} AS amount FROM {first} LEFT JOIN {second} USING (agreement_id)
  LEFT JOIN given USING (agreement_id) WHERE {left} >= 0.005
)
SELECT uneven.agreement_id, uneven.amount FROM uneven
JOIN agreements_agreement agreement ON agreement.id = uneven.agreement_id
JOIN customers_home home ON home.id = agreement.home_id
JOIN customers_customer customer ON customer.id = home.customer_id
WHERE customer.branch_id = %s
"""
_NET = "COALESCE(paid.total, 0) - COALESCE(given.total, 0)"
_OWED = _UNEVEN.format(first="asked", second="paid", left=f"asked.total - ({_NET})")
_TOO_MUCH = (
    _UNEVEN.format(first="paid", second="asked", left=f"{_NET} - COALESCE(asked.total, 0)")
    + "AND (agreement.cancelled_on <= %s OR agreement.ends_on < %s)"
)


def owed_by(branch: Branch, day: dt.date) -> dict[int, Decimal]:
    """What each agreement was asked for by the end of a day and has not paid."""
    return _asked(_OWED, [day, branch.pk])


def paid_too_much(branch: Branch, day: dt.date) -> dict[int, Decimal]:
    """What was paid above all that was asked for agreements that have ended by a day."""
    return _asked(_TOO_MUCH, [dt.date.max, branch.pk, day, day])


def _asked(sql: str, values: list[dt.date | int]) -> dict[int, Decimal]:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return {key: cents(Decimal(str(amount))) for key, amount in cursor.fetchall()}
