"""Forecasts for the stories: a week in which each day is as warm as said, at every hour."""

from __future__ import annotations

import datetime as dt

from shop.models import Branch
from tests.scheduling import spring
from weather.forecast import Forecast, ForecastHour
from weather.models import BranchForecast, hours_kept

WARM_F, COLD_F = 75.0, 42.0
HOURS = 24 * 9


def foretold(
    branch: Branch, made_at: dt.datetime, days_f: dict[dt.date, float] | None = None, **more
) -> BranchForecast:
    """A forecast row made at that moment. `days_f`: days that differ from warm; `else_f`."""
    else_f = more.pop("else_f", WARM_F)
    hours = tuple(
        ForecastHour(at, (days_f or {}).get(at.astimezone(spring.CHICAGO).date(), else_f))
        for number in range(HOURS)
        for at in [made_at + dt.timedelta(hours=number)]
    )
    forecast = Forecast("test", made_at, made_at, hours)
    return BranchForecast.objects.create(
        branch=branch, source="test", updated_at=made_at, fetched_at=made_at,
        hours=hours_kept(forecast),
    )  # fmt: skip
