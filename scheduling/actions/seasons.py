"""Verbs that open a season and gather what is owed in it."""

from __future__ import annotations

import datetime as dt

from django.core.exceptions import ValidationError
from django.db import transaction

from agreements.actions import renew_through
from agreements.models import OwedVisit
from scheduling.models import Season, Visit
from scheduling.models.season import LONGEST_DAYS
from shop.models import Branch

# A visit overdue for longer than this is not gathered again: the office waives or books it.
OVERDUE_FOR = dt.timedelta(days=180)


@transaction.atomic
def open_season(*, branch: Branch, name: str, starts_on: dt.date, ends_on: dt.date) -> Season:
    """Name a stretch of days and gather the visits owed in it."""
    if ends_on < starts_on:
        raise ValidationError({"ends_on": "The season ends before it begins."})
    if (ends_on - starts_on).days >= LONGEST_DAYS:
        raise ValidationError({"ends_on": f"A season lasts at most {LONGEST_DAYS} days."})
    season = Season(branch=branch, name=name, starts_on=starts_on, ends_on=ends_on)
    season.full_clean()
    season.save()
    gather_visits(season=season)
    return season


@transaction.atomic
def gather_visits(*, season: Season) -> int:
    """Put every visit owed in the season's days into it; returns how many were new.

    Agreements that renew before the season ends begin their next term first.
    Safe to repeat: an owed visit belongs to one season at most.
    """
    renew_through(branch=season.branch, last=season.ends_on)
    waiting = (
        OwedVisit.objects.of(season.branch)
        .still_owed()
        .filter(visit=None, agreement__cancelled_on=None)
    )
    due = list(waiting.due_between(season.starts_on, season.ends_on))
    # What is overdue comes along where its kind is done anyway: no heating check in spring.
    overdue = waiting.overdue_since(season.starts_on - OVERDUE_FOR, season.starts_on).filter(
        kind__in={row.kind for row in due}
    )
    new = [Visit(owed_visit=row, season=season) for row in (*due, *overdue)]
    Visit.objects.bulk_create(new, ignore_conflicts=True, batch_size=500)
    return len(new)
