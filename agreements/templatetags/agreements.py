"""Filters that word money in templates, as agreements.money does everywhere."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from django import template

from agreements.accounts import Account
from agreements.debts import TO_GO_BACK
from agreements.money import amounts
from agreements.money.schedule import CURRENT
from kit.words import counted

register = template.Library()


@register.filter
def dollars(amount: Decimal) -> str:
    """An amount in USD: "$1,234.50"."""
    return amounts.dollars(amount)


@register.filter
def unsigned(amount: Decimal) -> Decimal:
    """The amount without its sign."""
    return abs(amount)


@register.filter
def to_go_back(amount: Decimal) -> str:
    """That a customer has money to come."""
    return f"{amounts.dollars(amount)} is to go back to the customer."


@register.filter
def overdue(account: Account, today: dt.date) -> str:
    """What is due now, and since when."""
    words = f"{amounts.dollars(account.due_now(today))} is due and not paid"
    days = account.overdue_days(today)
    return f"{words}, the oldest part for {counted(days, 'day')}." if days else f"{words}."


@register.filter
def column_words(column: str) -> str:
    """The name of an age: "1 to 30 days late"."""
    if column == CURRENT:
        return "due today"
    if column == TO_GO_BACK:
        return column
    return f"{column.replace('-', ' to ')} days late"
