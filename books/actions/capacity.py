"""Asking the planner about capacity; what its worker says of it is in kit.web.asked."""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, transaction

from books.models import CapacityRun
from kit.web.wake import wake
from scheduling.models import Season
from shop.models import User

ANSWER_CAPACITY = "books.answer_capacity"  # the task in books.tasks


class CapacityRefused(ValueError):
    """What stands in the way, in words for the office."""


def ask_for_capacity(
    *, season: Season, by: User | None, seconds: float, now: dt.datetime
) -> CapacityRun:
    """Write down what is wanted, and wake a worker once that is committed."""
    try:
        with transaction.atomic():
            run = CapacityRun.objects.create(
                season=season, asked_by=by, asked_at=now, heard_at=now, seconds=seconds
            )
    except IntegrityError as clash:
        if not CapacityRun.objects.filter(season=season).under_way().exists():
            raise
        raise CapacityRefused(f"The planner is at this question of {season} already.") from clash
    transaction.on_commit(lambda: wake(ANSWER_CAPACITY, run.pk))
    return run
