"""The pure room's words in the language in force: the English text is the key of a translation."""

from __future__ import annotations

import datetime as dt

from django.utils.formats import date_format
from django.utils.translation import get_language, gettext
from django.utils.translation import gettext_noop as _

from reminders.facts import Reminder
from reminders.words import Sentence, Value, Words, listed

_AND = _("and")
TITLES = {
    "filter": _("Change the filter"),
    "cover_off": _("Take the winter cover off"),
    "cover_on": _("Put the winter cover on, open at the sides"),
    "plants": _("Trim the plants at the outdoor unit"),
    "rinse": _("Rinse the outdoor unit with a garden hose"),
    "returns": _("Switch the high and low returns"),
}


def title(reminder: Reminder) -> str:
    """What a reminder asks for."""
    return gettext(TITLES[reminder.kind])


def said(words: Words) -> str:
    """One text."""
    return gettext(words.english)


def sentence(one: Sentence) -> str:
    """One sentence with its gaps filled."""
    if (get_language() or "en").startswith("en"):
        return one.english()
    return said(one.words).format(**{name: _shown(value) for name, value in one.values})


def why(sentences: tuple[Sentence, ...]) -> str:
    """Why the homeowner hears of it now."""
    return " ".join(map(sentence, sentences))


def size(inches: str) -> str:
    """A filter's size by itself: "16x25x1", or "1 inch" where only its thickness is known."""
    return inches if "x" in inches else gettext(_("%(inches)s inch")) % {"inches": inches}


def _shown(value: Value) -> str:
    if isinstance(value, dt.date):
        return date_format(value)
    if isinstance(value, tuple):
        return listed([said(words) for words in value], gettext(_AND))
    return str(value)
