"""Keeping what the thermometer said."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from django.db import transaction

from shop.models import Branch
from weather.models import ObservedHour

BATCH = 500


@transaction.atomic
def observe_hours(*, branch: Branch, hours: Mapping[dt.datetime, float], source: str) -> int:
    """Keep °F by the moment of the hour; a later word on the same hour replaces the earlier.

    Returns how many hours were given.
    """
    rows = [
        ObservedHour(branch=branch, at=at, temperature_f=value_f, source=source)
        for at, value_f in sorted(hours.items())
    ]
    ObservedHour.objects.bulk_create(
        rows,
        batch_size=BATCH,
        update_conflicts=True,
        unique_fields=["branch", "at"],
        update_fields=["temperature_f", "source"],
    )
    return len(rows)
