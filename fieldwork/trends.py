"""The work at a home over the years: its records, each reading's trend, and what to bring.

Values, limits and early warnings are those that were judged on their day and kept with the record,
so that a changed rule does not rewrite what a customer was told.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from customers.models import Home, System
from fieldwork.findings import SIGNS, Judged, read_judgement
from fieldwork.models import Recommendation, RecommendationState, Record
from fieldwork.readings import GROUPS, Trend, Verdict
from fieldwork.readings.words import allowed, amount
from kit.pictures.trend import Reading, TrendPicture, draw_trend
from kit.pictures.verdicts import Sign

UNSETTLED = (RecommendationState.OPEN, RecommendationState.TOLD, RecommendationState.AGREED)
# Two decimals where a tenth would hide the change.
FINE = ("in WC",)


@dataclass(frozen=True)
class Series:
    """One reading of one system. `picture` None: read once only."""

    title: str
    newest: str
    allowed: str
    sign: Sign
    word: str
    earlier: str
    picture: TrendPicture | None


@dataclass(frozen=True)
class SystemWork:
    """A system's readings, and the early warnings that its newest checks gave."""

    system: System
    series: tuple[Series, ...]
    warnings: tuple[Trend, ...]


@dataclass(frozen=True)
class HomeWork:
    """Everything done at a home, the newest record first. `bring`: for the next visit."""

    records: list[Record]
    systems: tuple[SystemWork, ...]
    recommended: list[Recommendation]
    bring: tuple[str, ...]


def work_at(home: Home) -> HomeWork:
    """Read a home's records. Three queries, however many years."""
    records = list(
        Record.objects.filter(visit__owed_visit__agreement__home=home)
        .completed()
        .select_related("technician", "visit__owed_visit__agreement", "visit__season")
        .order_by("-day", "-pk")
    )
    recommended = list(
        Recommendation.objects.filter(record__in=records, state__in=UNSETTLED).select_related(
            "system", "record"
        )
    )
    systems = tuple(_system_work(system, records) for system in home.systems.all())
    return HomeWork(records, systems, recommended, _bring(systems, recommended))


def _system_work(system: System, records: Sequence[Record]) -> SystemWork:
    """`records` come newest first."""
    judged = [
        (record, read_judgement(record.judgement[str(system.pk)]))
        for record in records
        if str(system.pk) in record.judgement
    ]
    return SystemWork(system, tuple(_series(reversed(judged))), tuple(_warnings(judged)))


def _warnings(judged: Iterable[tuple[Record, Judged]]) -> list[Trend]:
    """Of the newest cooling check and the newest heating check; the newer one wins."""
    newest: dict[str, Judged] = {}
    for record, judgement in judged:
        newest.setdefault(record.visit.owed_visit.kind, judgement)
    found: dict[str, Trend] = {}
    for judgement in newest.values():
        for trend in judgement.trends:
            found.setdefault(trend.key, trend)
    return list(found.values())


def _series(judged: Iterable[tuple[Record, Judged]]) -> list[Series]:
    """Every subject that had a number, oldest reading first, in the order of the groups."""
    points: dict[str, list[tuple[dt.date, Verdict]]] = {}
    for record, judgement in judged:
        for verdict in judgement.verdicts:
            if verdict.value is not None:
                points.setdefault(verdict.key, []).append((record.day, verdict))
    groups = list(GROUPS)
    ordered = sorted(points.values(), key=lambda found: groups.index(found[-1][1].group))
    return [_one(found) for found in ordered]


def _one(points: list[tuple[dt.date, Verdict]]) -> Series:
    newest = points[-1][1]
    decimals = _decimals(newest)
    limits = [limit for limit in (newest.low, newest.high) if limit is not None]
    return Series(
        title=newest.title,
        newest=amount(newest.value or 0.0, newest.unit, decimals),
        allowed=allowed(newest.low, newest.high, newest.unit, decimals) if limits else "",
        sign=SIGNS[newest.outcome],
        word=newest.outcome.value,
        earlier="; ".join(
            f"{day:%b} {day.day}, {day.year}: {amount(v.value or 0.0, v.unit, decimals)}"
            for day, v in reversed(points[:-1])
        ),
        picture=draw_trend([Reading(day, v.value or 0.0) for day, v in points], limits),
    )


def _decimals(verdict: Verdict) -> int:
    if verdict.unit in FINE:
        return 2
    return 1 if abs(verdict.value or 0.0) < 100 else 0


def _bring(systems: Iterable[SystemWork], recommended: Iterable[Recommendation]) -> tuple[str, ...]:
    """What the warnings name, and the parts of repairs that the customer agreed to."""
    parts = [trend.bring for one in systems for trend in one.warnings if trend.bring]
    agreed = [r.words for r in recommended if r.state == RecommendationState.AGREED]
    return tuple(dict.fromkeys([*parts, *(f"for the agreed repair: {words}" for words in agreed)]))
