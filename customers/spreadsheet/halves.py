"""The half days of a week that suit a customer, from what an office types about them."""

from __future__ import annotations

import re

from customers.spreadsheet.outcomes import CellRefused
from kit.when import AFTERNOON, MORNING, WeekHalves

Half = tuple[int, int]

_DAYS = {
    **dict.fromkeys(("m", "mo", "mon", "monday"), 0),
    **dict.fromkeys(("t", "tu", "tue", "tues", "tuesday"), 1),
    **dict.fromkeys(("w", "we", "wed", "weds", "wednesday"), 2),
    **dict.fromkeys(("th", "thu", "thur", "thurs", "thursday", "r"), 3),
    **dict.fromkeys(("f", "fr", "fri", "friday"), 4),
    **dict.fromkeys(("sa", "sat", "saturday"), 5),
    **dict.fromkeys(("su", "sun", "sunday"), 6),
}
_GROUPS = {
    **dict.fromkeys(("weekday", "weekdays"), range(5)),
    **dict.fromkeys(("weekend", "weekends"), range(5, 7)),
    **dict.fromkeys(("any", "anytime", "anyday", "all", "flexible", "every", "everyday"), range(7)),
}
_HALVES = {
    **dict.fromkeys(("am", "morning", "mornings", "forenoon"), MORNING),
    **dict.fromkeys(("pm", "afternoon", "afternoons"), AFTERNOON),
}
_BOTH = {"both", "either", "any", "anytime", "all", "flexible", "am/pm", "am pm"}
_NOT = {"not", "no", "except", "but", "never"}
_FILLER = {"and", "or", "only", "day", "days", "time", "best", "on", "please", "prefers", "is"}
_RANGE = re.compile(r"([a-z]+?)s? *(?:-|–|to|thru|through) *([a-z]+)")
# Days run together, as on a wall calendar: MWF, TTh, MTWThF.
_RUN_TOGETHER = re.compile(r"(?:m|tu|th|t|w|f|sa|su|r)+")


def read_days(text: str) -> WeekHalves:
    """Half days: "Mon, Wed", "MWF", "Mon-Thu AM", "Tue AM, Thu PM", "weekdays", "not Friday".

    A half named after days is for the days since the last half; a half alone is for every day.
    """
    chosen: set[Half] = set()
    for clause in re.split(r"[;.]", _ranges_spelled(text.casefold())):
        if clause.strip():
            chosen |= _clause(clause, text)
    return _some(chosen, text)


def read_half(text: str) -> WeekHalves:
    """Mornings or afternoons of every day: "AM", "afternoon", "either"."""
    word = text.casefold().replace("only", "").replace(".", "").strip()
    if word in _BOTH:
        return WeekHalves.always()
    if word in _HALVES:
        return WeekHalves.of((day, _HALVES[word]) for day in range(7))
    raise CellRefused(
        "half_unreadable", f"“{text}” is not a half of the day; write AM, PM or either."
    )


def both_of(days: WeekHalves, half: WeekHalves, text: str) -> WeekHalves:
    """What suits by both columns; CellRefused when nothing is left."""
    return _some({pair for pair in days if pair in half}, text)


def _clause(clause: str, text: str) -> set[Half]:
    halves: set[Half] = set()
    excluded: set[int] = set()
    waiting: list[int] = []
    leading: int | None = None
    negative = False
    for word in re.findall(r"[^\s,/&+]+", clause):
        if word in _NOT:
            negative = True
        elif word in _HALVES and negative:
            raise _unreadable(word, text)
        elif word in _HALVES and waiting:
            halves |= {(day, _HALVES[word]) for day in waiting}
            waiting = []
        elif word in _HALVES:
            leading = _HALVES[word]
        elif word not in _FILLER:
            days = _days(word, text)
            excluded.update(days) if negative else waiting.extend(days)
    if not waiting and not halves:
        waiting = list(range(7))
    each = (MORNING, AFTERNOON) if leading is None else (leading,)
    halves |= {(day, half) for day in waiting for half in each}
    return {(day, half) for day, half in halves if day not in excluded}


def _days(word: str, text: str) -> list[int]:
    for spelling in (word, word.rstrip("s")):
        if spelling in _GROUPS:
            return list(_GROUPS[spelling])
        if spelling in _DAYS:
            return [_DAYS[spelling]]
    if _RUN_TOGETHER.fullmatch(word):
        return [_DAYS[letters] for letters in re.findall(r"m|tu|th|t|w|f|sa|su|r", word)]
    raise _unreadable(word, text)


def _ranges_spelled(text: str) -> str:
    """ "mon-thu" becomes "mon tue wed thu"; what is no range of days stays as it is."""

    def spelled(match: re.Match[str]) -> str:
        first, last = _DAYS.get(match[1]), _DAYS.get(match[2].rstrip("s"))
        if first is None or last is None or first > last:
            return match[0]
        return " ".join(("mon", "tue", "wed", "thu", "fri", "sat", "sun")[first : last + 1])

    return _RANGE.sub(spelled, text)


def _some(chosen: set[Half], text: str) -> WeekHalves:
    if not chosen:
        raise CellRefused("no_half_left", f"“{text}” leaves no half day on which to come.")
    return WeekHalves.of(chosen)


def _unreadable(word: str, text: str) -> CellRefused:
    return CellRefused(
        "days_unreadable",
        f"“{word}” in “{text}” is no weekday; write for example Mon, Wed or Mon-Thu AM.",
    )
