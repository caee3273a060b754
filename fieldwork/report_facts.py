"""What the report of a visit says: plain facts, which a template writes down."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from fieldwork.advice import Advice
from kit.pictures.verdicts import VerdictsPicture


@dataclass(frozen=True)
class Danger:
    """What was found dangerous, what was done at once, and what was agreed."""

    title: str
    plain: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class SystemFacts:
    """One system. `watch` and `repair` are sentences; `early`: warnings from earlier visits."""

    name: str
    picture: VerdictsPicture
    watch: tuple[str, ...]
    repair: tuple[str, ...]
    early: tuple[str, ...]


@dataclass(frozen=True)
class TestFacts:
    """Was the cooling test a real one? `state` is warm, provisional, owed, or none was due."""

    state: str
    word: str
    sentence: str
    next: str = ""


@dataclass(frozen=True)
class PartFacts:
    words: str
    quantity: Decimal


@dataclass(frozen=True)
class RepairFacts:
    """A recommended repair, as information."""

    words: str
    urgent: bool


@dataclass(frozen=True)
class SignatureFacts:
    """`picture` is a data: address; empty when only the name was given."""

    name: str
    at: dt.datetime
    picture: str


@dataclass(frozen=True)
class ReportFacts:
    """All that the report says, in the language that was active when it was made."""

    language: str
    shop: str
    phone: str
    postal_address: str
    customer: str
    address: str
    check: str
    day: dt.date
    technician: str
    certificate_608: str
    outdoor_f: float | None
    finished: bool
    test: TestFacts
    dangers: tuple[Danger, ...]
    systems: tuple[SystemFacts, ...]
    done: tuple[str, ...]
    parts: tuple[PartFacts, ...]
    repairs: tuple[RepairFacts, ...]
    advice: Advice
    signature: SignatureFacts | None
