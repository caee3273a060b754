"""Filters that show the pure room's words in the language in force."""

from __future__ import annotations

from django import template

from reminders import no_start
from reminders.said import said as in_language
from reminders.words import Words

register = template.Library()
_TITLES = {check.id: check.title for check in no_start.CHECKS}


@register.filter
def said(words: Words) -> str:
    """One text of reminders.words."""
    return in_language(words)


@register.filter
def check_titles(ids: list[str]) -> str:
    """The titles of the no-start checks that were tried."""
    return " ".join(in_language(_TITLES[id_]) for id_ in ids if id_ in _TITLES)
