"""The season's ribbon from rows: each day's weather, and the visits that stand in it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from django.urls import reverse

from kit.pictures.ribbon import RibbonDay, RibbonPicture, RibbonVisit, draw_ribbon
from kit.when import days_between, utc_offset_h
from scheduling import states
from scheduling.models import Season, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.proposal import Proposal
from weather.outlook import Outlook

HOME = "owed_visit__agreement__home"
_COLUMNS = (
    "starts_at", "state", "owed_visit__kind", "warmth", f"{HOME}__customer__name", f"{HOME}__city",
)  # fmt: skip


def season_ribbon(
    season: Season, visits: VisitQuerySet, today: dt.date, outlook: Outlook
) -> RibbonPicture:
    """Draw the season under the weather as it is known now. One query for all visits."""
    return draw_days(season, _stacks(season, visits), today, outlook)


def planned_ribbon(season: Season, kept: dict, today: dt.date, outlook: Outlook) -> RibbonPicture:
    """The season as a run's proposal would have it (`kept`: as its row keeps it). One query."""
    slots = {placing.visit: placing for placing in Proposal.from_json(kept).placings}
    stacks: dict[dt.date, list[RibbonVisit]] = defaultdict(list)
    zone = season.branch.zone
    rows = Visit.objects.for_season(season).values_list("pk", *_COLUMNS)
    for pk, starts_at, state, kind, warmth, name, city in rows:
        placing = slots.get(pk)
        if placing is not None:
            starts_at, warmth = placing.starts_at, placing.warmth
            state = state if state in states.AGREED else states.PENCILLED
        elif state in states.OPEN or starts_at is None:
            continue
        day = starts_at.astimezone(zone).date()
        stacks[day].append(RibbonVisit(kind, state, f"{name}, {city}", warmth=warmth))
    return draw_days(season, stacks, today, outlook)


def draw_days(
    season: Season,
    stacks: dict[dt.date, list[RibbonVisit]],
    today: dt.date,
    outlook: Outlook,
) -> RibbonPicture:
    """The stacks of visits under their weather."""
    branch = season.branch
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
        for band in [outlook.day_band(day, clock_offset_h=utc_offset_h(day, branch.zone))]
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
    rows = visits.placed().order_by("starts_at").values_list(*_COLUMNS)
    for starts_at, state, kind, warmth, name, city in rows:
        day = starts_at.astimezone(zone).date()
        stacks[day].append(RibbonVisit(kind, state, f"{name}, {city}", warmth=warmth))
    return stacks
