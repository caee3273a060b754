"""The branch's plans that a sheet's words stand for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from agreements.models import Plan
from customers.spreadsheet.facts import CleanRow
from shop.models import Branch

# Code, name, cooling and heating checks a term: what a first import makes where nothing is yet.
_USUAL = {
    "annual": ("Annual", 1, 0),
    "semi-annual": ("Semi-annual", 1, 1),
}


def plans_for(branch: Branch, rows: Sequence[CleanRow]) -> dict[str, Plan]:
    """Plan by code. One that the branch has not got yet is unsaved, at the sheet's usual price."""
    known = {plan.code: plan for plan in branch.plans.all()}
    return {
        code: known.get(code) or _usual(branch, code, _usual_price(code, rows)) for code in _USUAL
    }


def _usual(branch: Branch, code: str, price: Decimal) -> Plan:
    name, cooling, heating = _USUAL[code]
    return Plan(
        branch=branch,
        code=code,
        name=name,
        price=price,
        cooling_checks=cooling,
        heating_checks=heating,
    )


def _usual_price(code: str, rows: Sequence[CleanRow]) -> Decimal:
    """The price that most rows of the plan have; 0 when none has one."""
    prices = Counter(
        row.agreement.price
        for row in rows
        if row.agreement.plan == code and row.agreement.price is not None
    )
    return prices.most_common(1)[0][0] if prices else Decimal(0)
