"""How many cooling checks are still owed in a season, and when they end at the present pace."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from kit.when import moment_at
from scheduling.models import Outcome, Season, Trip, Visit
from scheduling.notice import ONE_DAY, promised_until

PACE_DAYS = 10


@dataclass(frozen=True)
class Pace:
    """`a_day`: checks a working day, done of late or else planned; `done_by` None: no pace yet."""

    owed: int
    a_day: float
    done_by: dt.date | None


def pace_of(season: Season, today: dt.date) -> Pace:
    """From what was done in the last ten working days; before the first, from what is planned."""
    branch = season.branch
    owed = Visit.objects.for_season(season).needing_warmth().open().count()
    a_day = (_done(season, today) or _placed(season, today)) / PACE_DAYS
    if not a_day:
        return Pace(owed, 0.0, None)
    return Pace(owed, a_day, promised_until(today, math.ceil(owed / a_day), branch.works_on))


def _done(season: Season, today: dt.date) -> int:
    first, left = today, PACE_DAYS
    while left:
        first -= ONE_DAY
        left -= season.branch.works_on(first.weekday())
    zone = season.branch.zone
    trips = Trip.objects.for_season(season).filter(outcome=Outcome.DONE)
    lately = trips.filter(starts_at__gte=moment_at(first, 0, zone))
    return lately.filter(starts_at__lt=moment_at(today, 0, zone)).count()


def _placed(season: Season, today: dt.date) -> int:
    zone, branch = season.branch.zone, season.branch
    last = promised_until(today, PACE_DAYS, branch.works_on)
    visits = Visit.objects.for_season(season).needing_warmth().placed().open()
    return visits.filter(
        starts_at__gte=moment_at(today + ONE_DAY, 0, zone),
        starts_at__lt=moment_at(last + ONE_DAY, 0, zone),
    ).count()
