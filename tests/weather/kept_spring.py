"""A month of April in the rows: a forecast each morning, the hours that came, a forecast now."""

from datetime import UTC, datetime, timedelta

import numpy as np

from tests.cast import cedarburg
from weather.actions import keep_forecast, learn_skill, observe_hours, set_climate
from weather.demonstration import demonstration_climate
from weather.forecast import ForecastHour, forecast_of
from weather.warmth import hourly_band

NOW = datetime(2027, 4, 28, 14, tzinfo=UTC)  # a Wednesday, nine in the morning in Cedarburg
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def came_f(at):
    """The climate's hour, with warm and cold spells of eight days."""
    local = at - 5 * HOUR
    usual = hourly_band(demonstration_climate(), local.date(), clock_offset_h=-5.0)
    return usual.p50_f[local.hour] + 12.0 * np.sin(2 * np.pi * local.toordinal() / 8)


def foretold(made_at, off_f=lambda lead: 0.0, **more):
    """156 hours from `made_at` on; `off_f` by days ahead."""
    hours = [
        ForecastHour(at, round(came_f(at) + off_f(n // 24)), **more)
        for n in range(156)
        for at in [made_at + n * HOUR]
    ]
    return forecast_of("nws", made_at, made_at, hours)


def keep_spring(days=30, now=NOW):
    """Returns the branch. Forecasts are two degrees too cold, and wrong by turns."""
    branch = cedarburg()
    set_climate(branch=branch, climate=demonstration_climate(), now=now)
    since = now - days * DAY
    came = {since + n * HOUR: came_f(since + n * HOUR) for n in range(days * 24)}
    observe_hours(branch=branch, hours=came, source="nws")
    for n in range(days + 1):
        made_at = since + n * DAY
        forecast, notes = foretold(made_at, lambda lead, n=n: (-1) ** n * (2 + lead) - 2)
        keep_forecast(branch=branch, forecast=forecast, notes=notes, now=made_at)
    learn_skill(branch=branch, now=now)
    return branch
