"""Verbs that change who drives, and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from django.db import transaction

from scheduling.models import DayOff, Shift, Technician


@dataclass(frozen=True, slots=True)
class Hours:
    """A shift's start, end and lunch in minutes."""

    starts_at: dt.time
    ends_at: dt.time
    lunch_min: int


@transaction.atomic
def save_technician(*, technician: Technician, week: Mapping[int, Hours]) -> Technician:
    """Write a technician and the hours of each weekday worked (0 is Monday)."""
    technician.full_clean()
    technician.save()
    technician.shifts.exclude(weekday__in=week).delete()
    for weekday, hours in week.items():
        Shift.objects.update_or_create(
            technician=technician,
            weekday=weekday,
            defaults={
                "starts_at": hours.starts_at,
                "ends_at": hours.ends_at,
                "lunch_min": hours.lunch_min,
            },
        )
    return technician


def add_days_off(*, technician: Technician, first: dt.date, last: dt.date, why: str) -> DayOff:
    """Write down days on which a technician does not drive. Promises on them stay, and show."""
    return DayOff.objects.create(technician=technician, first=first, last=last, why=why)


def remove_days_off(*, technician: Technician, pk: int) -> None:
    """The technician drives after all."""
    DayOff.objects.filter(technician=technician, pk=pk).delete()
