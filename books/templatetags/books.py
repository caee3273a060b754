"""How the pictures of the books are filled: attributes, so that paper and screen are alike."""

from __future__ import annotations

from django import template

register = template.Library()

# Look of a part of the checks: fill, line, ink on it. The inks keep 4.5 : 1 on their fill.
LOOKS: dict[str, tuple[str, str, str]] = {
    "warm": ("#861650", "#861650", "#ffffff"),
    "provisional": ("#e3a4c5", "#861650", "#35261d"),
    "unread": ("#75614f", "#75614f", "#ffffff"),
    "other": ("#d9cdbf", "#75614f", "#35261d"),
    "waived": ("#f1ebe3", "#75614f", "#35261d"),
    "owed": ("#ffffff", "#35261d", "#35261d"),
}


@register.filter
def fill(look: str) -> str:
    return LOOKS[look][0]


@register.filter
def line(look: str) -> str:
    return LOOKS[look][1]


@register.filter
def ink(look: str) -> str:
    return LOOKS[look][2]
