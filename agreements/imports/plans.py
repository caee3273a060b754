"""The branch's plans that a sheet's words stand for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from agreements.models import Plan
from customers.spreadsheet.facts import CleanRow
from customers.spreadsheet.trade_words import plan_word
from shop.models import Branch

# Code, name, cooling and heating checks a term: what a first import makes where nothing is yet.
_USUAL = {
    "annual": ("Annual", 1, 0),
    "semi-annual": ("Semi-annual", 1, 1),
}


def own_words(plans: Sequence[Plan]) -> dict[str, str]:
    """Codes of a branch's plans by the word that a sheet may call them; one that is still sold
    comes before an old one of the same name."""
    sold_last = sorted(plans, key=lambda plan: (plan.active, plan.pk))
    words = {plan_word(plan.name): plan.code for plan in sold_last}
    return {word: code for word, code in words.items() if word}


def plans_for(branch: Branch, plans: Sequence[Plan], rows: Sequence[CleanRow]) -> dict[str, Plan]:
    """Plan by code. A usual one that the branch has not got yet is unsaved, at the sheet's usual
    price."""
    known = {plan.code: plan for plan in plans}
    usual = {
        code: _usual(branch, code, _usual_price(code, rows)) for code in _USUAL if code not in known
    }
    return known | usual


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
