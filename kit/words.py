"""Numbers as people at a contractor's office read them. Pure: no Django, no clock.

One place, so that a screen, a picture and a letter never word the same number twice.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping

NARROW = "\u00a0"  # keeps a number and its unit on one line

STATES = ("owed", "pencilled", "offered", "promised", "held", "done", "missed", "waived")
# Has a slot and is not carried out: the weather of its day still matters.
STANDING = ("pencilled", "offered", "promised")

# Kinds of checks that can only be carried out when it is warm enough outdoors.
NEED_WARMTH = ("cooling", "both", "test_only")

_KIND_WORDS = {
    "cooling": "cooling check",
    "heating": "heating check",
    "both": "cooling and heating checks",
    "test_only": "cooling check, test only",
}

# The least warmth for which each wording holds; our own words, no source.
_WARMTH_WORDS = (
    (0.9, "very likely warm enough"),
    (0.75, "likely warm enough"),
    (0.55, "more likely warm enough than not"),
    (0.45, "about as likely warm enough as not"),
    (0.25, "probably too cold"),
    (0.0, "very likely too cold"),
)


def temperature(value_f: float) -> str:
    """A temperature in °F, whole degrees: 54.4 -> "54 °F"."""
    return f"{round(value_f)}{NARROW}°F"


def percent(share: float) -> str:
    """A share of one: 0.93 -> "93 %". Never 0 or 100 % unless it is exactly that."""
    rounded = math.floor(100 * share + 0.5)  # a half goes up, as on a calculator
    if 0 < share < 1:
        rounded = min(99, max(1, rounded))
    return f"{rounded}{NARROW}%"


def warmth(share: float | None) -> str:
    """A warmth with its meaning first; None is work that needs no warmth."""
    if share is None:
        return "needs no warmth"
    if not 0 <= share <= 1:
        raise ValueError(f"A warmth is a probability from 0 to 1, not {share}.")
    words = next(words for least, words in _WARMTH_WORDS if share >= least)
    return f"{words} ({percent(share)})"


def warmth_of_check(kind: str, share: float | None) -> str:
    """The same for a check of a kind; None for one that needs warmth: not looked at yet."""
    if share is None and kind in NEED_WARMTH:
        return "warmth not looked at yet"
    return warmth(share)


def check_kind(kind: str) -> str:
    """The kind of an owed visit as a noun: "cooling" -> "cooling check"."""
    return _KIND_WORDS.get(kind, kind)


def duration(minutes: float) -> str:
    """A length of time: 85 -> "1 h 25 min", 60 -> "1 h", 5 -> "5 min"."""
    hours, rest = divmod(round(minutes), 60)
    parts = [f"{hours}{NARROW}h"] if hours else []
    if rest or not hours:
        parts.append(f"{rest}{NARROW}min")
    return " ".join(parts)


def clock(moment: dt.datetime | dt.time) -> str:
    """The time on the wall: 13:30 -> "1:30 PM". A moment is read in its own zone."""
    half = "AM" if moment.hour < 12 else "PM"
    return f"{moment.hour % 12 or 12}:{moment.minute:02d}{NARROW}{half}"


def clock_at(minute: float) -> str:
    """The same for minutes after midnight: 810 -> "1:30 PM"."""
    hour, rest = divmod(round(minute) % (24 * 60), 60)
    return clock(dt.time(hour, rest))


def day_name(day: dt.date) -> str:
    """A day in a sentence: "Mon, Apr 12"; the year is said once, by the screen."""
    return f"{day:%a}, {day:%b} {day.day}"


def short_day(day: dt.date) -> str:
    """A day where there is little room: "Apr 12"."""
    return f"{day:%b} {day.day}"


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: 1, "visit" -> "1 visit"; 3, "visit" -> "3 visits"."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def state_counts(counts: Mapping[str, int]) -> str:
    """What a day holds, in the order of a visit's life: "3 pencilled, 5 promised"."""
    return ", ".join(f"{counts[state]} {state}" for state in STATES if counts.get(state))


def shortened(text: str, letters: int) -> str:
    """The text cut to so many letters with an ellipsis; nothing under three letters."""
    if len(text) <= letters:
        return text
    return text[: letters - 1].rstrip() + "…" if letters >= 3 else ""
