"""Filters that word what is on file about customers and homes."""

from __future__ import annotations

import phonenumbers
from django import template

register = template.Library()


@register.filter
def phone(e164: str) -> str:
    """As people dial it: "+14145550123" is "(414) 555-0123"."""
    try:
        number = phonenumbers.parse(e164)
    except phonenumbers.NumberParseException:
        return e164
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.NATIONAL)


@register.filter
def yes_no(fact: bool | None) -> str:
    """None means that nobody has asked yet."""
    return "not asked yet" if fact is None else "yes" if fact else "no"
