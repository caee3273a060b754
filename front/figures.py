"""What a server's keeper acts on, read from the database when it is asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.db.models import Count, Max, Min

from fieldwork.models import PhoneEvent
from front.models import Backup
from kit.web.wake import broker_answers
from letters.models import Letter, LetterState
from scheduling.models import RunState, SeasonRun
from scheduling.models.run import UNDER_WAY
from weather.models import BranchForecast

# Name, what it means, rows of (labels, value).
Figure = tuple[str, str, list[tuple[dict[str, str], float]]]


def figures(now: dt.datetime) -> Iterator[Figure]:
    yield from _letters(now)
    yield from _runs(now)
    ages = BranchForecast.objects.values_list("branch__slug").annotate(last=Max("fetched_at"))
    rows = [({"branch": slug}, _age(last, now)) for slug, last in ages.order_by("branch__slug")]
    yield "redbud_forecast_age_seconds", "Since the branch's last forecast was fetched.", rows
    yield from _backups(now)
    kept = PhoneEvent.objects.conflicts().count()
    yield "redbud_phone_conflicts", "Kept from phones, for the office to decide.", [({}, kept)]
    yield "redbud_broker_up", "1: the broker answers.", [({}, float(broker_answers()))]


def _letters(now: dt.datetime) -> Iterator[Figure]:
    states = (LetterState.WAITING, LetterState.UNSURE, LetterState.FAILED)
    counts = dict(
        Letter.objects.filter(state__in=states).values_list("state").annotate(n=Count("pk"))
    )
    rows = [({"state": str(state)}, float(counts.get(state, 0))) for state in states]
    yield "redbud_letters", "Letters not sent, by state; failed and unsure need a person.", rows
    due = Letter.objects.due(now)
    oldest = due.aggregate(oldest=Min("due_at"))["oldest"]
    yield "redbud_letters_due", "Letters that should have gone by now.", [({}, due.count())]
    late = _age(oldest, now) if oldest else 0.0
    yield "redbud_oldest_due_letter_seconds", "How long the oldest of them waits.", [({}, late)]


def _runs(now: dt.datetime) -> Iterator[Figure]:
    states = (*UNDER_WAY, RunState.FAILED)
    counts = dict(
        SeasonRun.objects.filter(state__in=states).values_list("state").annotate(n=Count("pk"))
    )
    rows = [({"state": str(state)}, float(counts.get(state, 0))) for state in states]
    yield "redbud_plan_runs", "Plan runs waiting, under way or failed.", rows
    oldest = SeasonRun.objects.filter(state=RunState.WAITING).aggregate(at=Min("asked_at"))["at"]
    waits = _age(oldest, now) if oldest else 0.0
    yield (
        "redbud_oldest_waiting_run_seconds",
        "No worker has taken it up for so long.",
        [({}, waits)],
    )


def _backups(now: dt.datetime) -> Iterator[Figure]:
    """No row before the first backup: a rule about absence tells of that."""
    good = Backup.objects.filter(trouble="")
    made = good.aggregate(at=Max("made_at"))["at"]
    proven = good.aggregate(at=Max("verified_at"))["at"]
    for name, what, at in (
        ("redbud_backup_age_seconds", "Since the last good backup.", made),
        (
            "redbud_backup_proven_age_seconds",
            "Since a backup was last proven by restoring.",
            proven,
        ),
    ):
        yield name, what, [({}, _age(at, now))] if at else []


def _age(moment: dt.datetime, now: dt.datetime) -> float:
    return max((now - moment).total_seconds(), 0.0)


def as_text(rows: Iterator[Figure]) -> str:
    """In Prometheus' text format; label values are slugs and states, which need no escaping."""
    lines: list[str] = []
    for name, what, values in rows:
        lines += [f"# HELP {name} {what}", f"# TYPE {name} gauge"]
        for labels, value in values:
            inside = ",".join(f'{key}="{word}"' for key, word in labels.items())
            lines.append(f"{name}{{{inside}}} {value:g}" if inside else f"{name} {value:g}")
    return "\n".join(lines) + "\n"
