"""The verbs of a company with several branches: plan them all at once, stop them all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from scheduling.actions.runs import RunRefused, ask_for_run, cancel_run
from scheduling.cutting import areas_for
from scheduling.models import Season, SeasonRun
from shop.models import User


def ask_for_all(
    *, seasons: Iterable[Season], by: User | None, seconds: float, now: dt.datetime
) -> list[SeasonRun]:
    """A run of each season, one task each; what is being planned already goes on."""
    asked = []
    for season in seasons:
        areas = areas_for(season.visits.open().count())
        try:
            asked.append(ask_for_run(season=season, by=by, seconds=seconds, now=now, areas=areas))
        except RunRefused:
            continue
    return asked


def cancel_all(*, seasons: Iterable[Season], now: dt.datetime) -> int:
    """Stop every plan under way; returns how many."""
    runs = list(SeasonRun.objects.plans().under_way().filter(season__in=[s.pk for s in seasons]))
    for run in runs:
        cancel_run(run=run, now=now)
    return len(runs)
