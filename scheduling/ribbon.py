"""The season's ribbon from rows: each day's weather, and the visits that stand in it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from django.db.models import BooleanField, Case, Count, Min, Q, When
from django.db.models.functions import TruncDate
from django.urls import reverse

from kit.pictures.ribbon import RibbonDay, RibbonPicture, RibbonVisit, draw_ribbon
from kit.when import days_between, utc_offset_h
from scheduling import states
from scheduling.models import Season, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.proposal import Proposal
from weather.outlook import Outlook

KIND = "owed_visit__kind"

Stacks = dict[dt.date, list[RibbonVisit]]


def season_ribbon(
    season: Season, visits: VisitQuerySet, today: dt.date, outlook: Outlook
) -> RibbonPicture:
    """Draw the season under the weather as it is known now. One query, which counts."""
    return draw_days(season, _stacks(season, visits), today, outlook)


def planned_ribbon(season: Season, kept: dict, today: dt.date, outlook: Outlook) -> RibbonPicture:
    """The season as a run's proposal would have it (`kept`: as its row keeps it). One query."""
    slots = {placing.visit: placing for placing in Proposal.from_json(kept).placings}
    stacks: Stacks = defaultdict(list)
    zone = season.branch.zone
    rows = Visit.objects.for_season(season).values_list("pk", "starts_at", "state", KIND, "warmth")
    for pk, starts_at, state, kind, warmth in rows:
        placing = slots.get(pk)
        if placing is not None:
            starts_at, warmth = placing.starts_at, placing.warmth
            state = state if state in states.AGREED else states.PENCILLED
        elif state in states.OPEN or starts_at is None:
            continue
        stacks[starts_at.astimezone(zone).date()].append(RibbonVisit(kind, state, warmth=warmth))
    return draw_days(season, stacks, today, outlook)


def draw_days(
    season: Season,
    stacks: Stacks,
    today: dt.date,
    outlook: Outlook,
) -> RibbonPicture:
    """The stacks of visits under their weather."""
    branch, days = season.branch, list(days_between(season.starts_on, season.ends_on))
    offsets = [utc_offset_h(day, branch.zone) for day in days]
    columns = [
        RibbonDay(
            day=day,
            p10_f=band.p10_f,
            p50_f=band.p50_f,
            p90_f=band.p90_f,
            visits=tuple(stacks.get(day, ())),
            workday=branch.works_on(day.weekday()),
            url=reverse("scheduling:day", args=[day]),
        )
        for day, band in zip(days, outlook.day_bands(days, clock_offset_h=offsets), strict=True)
    ]
    return draw_ribbon(
        columns,
        branch.test_temperature_f,
        today=today if season.starts_on <= today <= season.ends_on else None,
        least_warmth=branch.least_warmth,
    )


def _stacks(season: Season, visits: VisitQuerySet) -> Stacks:
    """The placed visits by their day on the branch's clock: those drawn alike come counted.

    Fetching a row a visit took most of a large season's screen.
    """
    too_cold = Q(warmth__lt=season.branch.least_warmth)
    groups = (
        visits.placed()
        .annotate(
            day=TruncDate("starts_at", tzinfo=season.branch.zone),
            cold=Case(When(too_cold, then=True), default=False, output_field=BooleanField()),
        )
        .order_by("day", "-cold", KIND)
        .values_list("day", "state", KIND, "cold")
        .annotate(least=Min("warmth"), count=Count("pk"))
    )
    stacks: Stacks = defaultdict(list)
    for day, state, kind, _, least, count in groups:
        stacks[day].append(RibbonVisit(kind, state, warmth=least, count=count))
    return stacks
