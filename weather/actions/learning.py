"""Learning how far the forecasts are off at a branch."""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from shop.models import Branch
from weather.comparing import Compared, compare
from weather.models import BranchForecast, ForecastPlace, ObservedHour
from weather.skill import Skill, learn, same_season

LEARNT_FROM = dt.timedelta(days=400)


def compared_hours(*, branch: Branch, since: dt.datetime, now: dt.datetime) -> list[Compared]:
    """What was foretold since then against what came; of the service in use. Three queries."""
    place = ForecastPlace.objects.filter(branch=branch).first()
    if place is None:
        return []
    rows = BranchForecast.objects.of(branch).filter(
        source=place.source, fetched_at__gte=since, fetched_at__lte=now
    )
    observed = ObservedHour.objects.of(branch).between(since, now)
    by_hour = dict(observed.values_list("at", "temperature_f"))
    return list(compare((row.forecast() for row in rows), by_hour, branch.zone))


@transaction.atomic
def learn_skill(*, branch: Branch, now: dt.datetime) -> Skill:
    """Compare what was foretold with what came, and keep what follows for the next decisions.

    Only days of this season count: what forecasts miss differs from spring to autumn.
    """
    today = now.astimezone(branch.zone).date()
    compared = compared_hours(branch=branch, since=now - LEARNT_FROM, now=now)
    skill = learn(one.case() for one in compared if same_season(one.day, today))
    ForecastPlace.objects.filter(branch=branch).update(skill=skill.to_dict(), learnt_at=now)
    return skill
