"""What a record's judgement says to a customer: a line a subject, in plain words, translated.

A judgement is kept for years as the JSON of its day; only what is known of it today is read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any, TypeVar

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from fieldwork.readings import Emergency, Outcome, Trend, Verdict
from kit.pictures.verdicts import Finding, Sign, share_of_range

# The groups of a judgement in a homeowner's words.
SUBJECTS: Mapping[str, str] = {
    "A": gettext_noop("Conditions of the test"),
    "B": gettext_noop("Air through the house"),
    "C": gettext_noop("Refrigerant"),
    "D": gettext_noop("Refrigerant valve"),
    "E": gettext_noop("Electrical parts"),
    "F": gettext_noop("Condition and safety"),
}
SIGNS: Mapping[Outcome, Sign] = {
    Outcome.WITHIN: "within",
    Outcome.WATCH: "watch",
    Outcome.ACT: "act",
    Outcome.CANNOT_JUDGE: "unjudged",
}
WORDS: Mapping[Outcome, str] = {
    Outcome.WITHIN: gettext_noop("in order"),
    Outcome.WATCH: gettext_noop("watch"),
    Outcome.ACT: gettext_noop("needs repair"),
    Outcome.CANNOT_JUDGE: gettext_noop("not judged"),
}
WORST_FIRST = (Outcome.ACT, Outcome.WATCH, Outcome.WITHIN, Outcome.CANNOT_JUDGE)
T = TypeVar("T")
SENTENCES = 2  # of a subject that is in order; what is not in order is told in full


@dataclass(frozen=True)
class Judged:
    """A stored judgement, as far as a customer is told of it."""

    verdicts: tuple[Verdict, ...] = ()
    emergencies: tuple[Emergency, ...] = ()
    trends: tuple[Trend, ...] = ()
    test: str = "owed"
    reasons: tuple[str, ...] = ()

    def plain(self, outcome: Outcome) -> list[str]:
        """What the verdicts of this outcome say, each once, translated."""
        return said(v.plain for v in self.verdicts if v.outcome == outcome and v.applies)


def read_judgement(row: Mapping[str, Any]) -> Judged:
    """A judgement as `Record.judgement` keeps it for one system; an empty row is none."""
    return Judged(
        verdicts=tuple(
            _made(Verdict, one | {"outcome": Outcome(one["outcome"])})
            for one in row.get("verdicts", ())
        ),
        emergencies=tuple(_made(Emergency, one) for one in row.get("emergencies", ())),
        trends=tuple(_made(Trend, one) for one in row.get("trends", ())),
        test=row.get("test", "owed"),
        reasons=tuple(row.get("gate", {}).get("reasons", ())),
    )


def findings_of(judged: Judged) -> list[Finding]:
    """A finding for each subject that this equipment has."""
    found = []
    for group, title in SUBJECTS.items():
        verdicts = [v for v in judged.verdicts if v.group == group and v.applies]
        if verdicts:
            found.append(_finding(_(title), verdicts))
    return found


def _finding(title: str, verdicts: list[Verdict]) -> Finding:
    outcomes = {verdict.outcome for verdict in verdicts}
    worst = next(outcome for outcome in WORST_FIRST if outcome in outcomes)
    telling = [verdict for verdict in verdicts if verdict.outcome == worst]
    sentences = said(verdict.plain for verdict in telling)
    if worst == Outcome.WITHIN:
        sentences = sentences[:SENTENCES]
    elif worst == Outcome.CANNOT_JUDGE and len(sentences) > 1:
        sentences = [_("It could not be judged on this visit.")]
    shown = _to_show(telling)
    return Finding(
        name=title,
        sign=SIGNS[worst],
        word=_(WORDS[worst]),
        plain=" ".join(sentences),
        value=shown.value if shown else None,
        low=shown.low if shown else None,
        high=shown.high if shown else None,
    )


def _to_show(verdicts: Iterable[Verdict]) -> Verdict | None:
    """The one whose reading stands farthest from the middle of what is allowed."""

    def distance(verdict: Verdict) -> float:
        share = share_of_range(verdict.value or 0.0, verdict.low, verdict.high)
        return -1.0 if share is None else abs(share - 0.5)

    measured = [verdict for verdict in verdicts if verdict.value is not None]
    return max(measured, key=distance, default=None)


def said(sentences: Iterable[str]) -> list[str]:
    """Each sentence once, translated; what was seen is "name: how it is", both translated."""
    return list(dict.fromkeys(_translated(sentence) for sentence in sentences if sentence))


def _translated(sentence: str) -> str:
    whole = _(sentence)
    name, colon, rest = sentence.partition(": ")
    if whole != sentence or not colon:
        return whole
    return f"{_(name)}: {_(rest)}"


def _made(kind: type[T], row: Mapping[str, Any]) -> T:
    known = {one.name for one in fields(kind)}  # type: ignore[arg-type]
    plain = {name: _tuple(value) for name, value in row.items() if name in known}
    return kind(**plain)


def _tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
