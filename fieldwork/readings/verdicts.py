"""What comes out of a judgement: verdicts, emergencies, causes to check, the test's standing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Literal

from fieldwork.readings.contradiction import Contradiction
from fieldwork.readings.fields.field import Value

Readings = Mapping[str, Value]
Group = Literal["A", "B", "C", "D", "E", "F"]
Test = Literal["warm", "provisional", "owed"]

GROUPS: dict[Group, str] = {
    "A": "Conditions of the test",
    "B": "Airflow",
    "C": "Refrigerant charge",
    "D": "Metering device",
    "E": "Electrical",
    "F": "Condition, gas and safety",
}


class Outcome(StrEnum):
    WITHIN = "within limits"
    WATCH = "watch"
    ACT = "act"
    CANNOT_JUDGE = "cannot judge"


@dataclass(frozen=True)
class Verdict:
    """One judgement, with all that it rests on."""

    key: str
    group: Group
    title: str
    outcome: Outcome
    sentence: str
    """For the technician, with the figures."""
    plain: str = ""
    """For the customer, without them."""
    value: float | None = None
    unit: str = ""
    target: float | None = None
    low: float | None = None
    """The least value within limits; None is no lower limit."""
    high: float | None = None
    limit_source: str = ""
    borderline: bool = False
    """Nearer to a limit than the instruments can tell; the outcome is still what was computed."""
    provisional: bool = False
    """Judged between the test temperature and the preferred one."""
    applies: bool = True
    """False when this equipment has no such thing to judge; the outcome is then "cannot judge"."""
    used: tuple[str, ...] = ()
    """The readings that went into it."""
    missing: tuple[str, ...] = ()
    """Of a verdict that cannot be given: the readings it waits for."""
    not_on_file: tuple[str, ...] = ()
    """Of a verdict that cannot be given: the attributes of `Equipment` that it wants."""

    @property
    def judged(self) -> bool:
        return self.outcome is not Outcome.CANNOT_JUDGE


@dataclass(frozen=True)
class Emergency:
    """Overrides everything else; never part of a routine letter. `action` is in order of doing."""

    key: str
    title: str
    action: str
    plain: str
    used: tuple[str, ...]


@dataclass(frozen=True)
class Cause:
    """Likely causes to check, never "the cause"."""

    rule: int
    title: str
    to_check: tuple[str, ...]
    confidence: Literal["high", "medium", "low"]
    signs: tuple[str, ...]
    """What voted, in words: "superheat high (24 °F, target 13 °F)"."""
    used: tuple[str, ...]


@dataclass(frozen=True)
class Gate:
    """May the charge be judged at all? `reasons` says why not, or why only provisionally."""

    is_open: bool
    provisional: bool
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class EarlierVisit:
    """Readings of an earlier visit to the same equipment.

    `replaced` names the readings whose part was exchanged at that visit, after it was measured:
    their trend begins anew.
    """

    day: date
    readings: Readings
    replaced: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Trend:
    """An early warning. `bring` names what to have in the van next time; empty is nothing."""

    key: str
    title: str
    sentence: str
    plain: str
    visits: int
    certain: bool
    """False with two visits only: a line through two points fits always."""
    bring: str = ""
    source: str = ""


@dataclass(frozen=True)
class Judgement:
    verdicts: tuple[Verdict, ...]
    gate: Gate
    test: Test
    """Whether the cooling test that is owed is now satisfied. Of a heating check alone: owed."""
    rules_version: str
    emergencies: tuple[Emergency, ...] = ()
    causes: tuple[Cause, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    trends: tuple[Trend, ...] = ()
    missing: tuple[str, ...] = ()
    """Names of the fields still to be read before all that applies can be judged."""
    not_on_file: tuple[str, ...] = ()
    """Names of `Equipment`'s attributes that a verdict wanted and did not find."""

    def of(self, key: str) -> Verdict | None:
        return next((verdict for verdict in self.verdicts if verdict.key == key), None)

    @property
    def worst(self) -> Outcome:
        """Act before watch before within limits; cannot judge when nothing was judged."""
        order = (Outcome.ACT, Outcome.WATCH, Outcome.WITHIN)
        found = {verdict.outcome for verdict in self.verdicts}
        if self.emergencies:
            return Outcome.ACT
        return next((outcome for outcome in order if outcome in found), Outcome.CANNOT_JUDGE)
