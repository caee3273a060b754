"""The season's ribbon from rows: each day's weather, and the visits that stand in it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from django.urls import reverse

from kit.pictures.ribbon import RibbonDay, RibbonPicture, RibbonVisit, draw_ribbon
from kit.when import days_between
from scheduling.models import Season
from scheduling.models.visit import VisitQuerySet
from weather.models import BranchClimate
from weather.warmth import day_band

HOME = "owed_visit__agreement__home"


def season_ribbon(season: Season, visits: VisitQuerySet, today: dt.date) -> RibbonPicture | None:
    """Draw the season; None while the branch has no climate. One query for all visits."""
    row = BranchClimate.objects.filter(branch=season.branch).first()
    if row is None:
        return None
    branch, climate, stacks = season.branch, row.climate(), _stacks(season, visits)
    days = [
        RibbonDay(
            day=day,
            p10_f=band.p10_f,
            p50_f=band.p50_f,
            p90_f=band.p90_f,
            visits=tuple(stacks.get(day, ())),
            workday=branch.works_on(day.weekday()),
            url=reverse("scheduling:day", args=[day]),
        )
        for day in days_between(season.starts_on, season.ends_on)
        for band in [day_band(climate, day)]
    ]
    return draw_ribbon(
        days,
        branch.test_temperature_f,
        today=today if season.starts_on <= today <= season.ends_on else None,
        least_warmth=branch.least_warmth,
    )


def _stacks(season: Season, visits: VisitQuerySet) -> dict[dt.date, list[RibbonVisit]]:
    """The placed visits by their day on the branch's clock, in the order of the day."""
    zone = season.branch.zone
    stacks: dict[dt.date, list[RibbonVisit]] = defaultdict(list)
    rows = (
        visits.placed()
        .order_by("starts_at")
        .values_list(
            "starts_at", "state", "owed_visit__kind", "warmth",
            f"{HOME}__customer__name", f"{HOME}__city",
        )
    )  # fmt: skip
    for starts_at, state, kind, warmth, name, city in rows:
        day = starts_at.astimezone(zone).date()
        stacks[day].append(RibbonVisit(kind, state, f"{name}, {city}", warmth=warmth))
    return stacks
