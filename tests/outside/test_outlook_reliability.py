"""Does forecast and climate joined come true? Springfield, Illinois, springs 2016 and 2017.

Hours: eemeter 4.1.1, samples/il-tempF.csv.gz; the climate is fitted to the other year alone.
Real forecasts of those springs are not to be had, so each is the hours that came, missed as far
as published ones miss (weather.backtest.forecasts). This shows that the joining is sharp and
honest for errors of that size, not that a service's errors are of that size.
"""

from datetime import UTC, datetime, time, timedelta, timezone
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from tests.outside.series import (
    HOUR,
    SPRINGFIELD,
    STARTS,
    coldest_in_slot,
    spring,
)
from tests.outside.test_warmth_reliability import COLUMNS, HOURS, climate_of
from weather.backtest.forecasts import forecast_errors
from weather.forecast import Forecast, ForecastHour
from weather.outlook import Outlook

ZONE = timezone(timedelta(hours=SPRINGFIELD.utc_offset_h))
SIX_IN_THE_MORNING, HOURS_SAID = time(6), 30
LEADS = range(8)
CLIMATE_ALONE = 0.136  # the Brier score that tests/outside/test_warmth_reliability.py measures


def foretold(day, lead, miss_f):
    """What was said of a day at six in the morning, `lead` days before it."""
    made_at = datetime.combine(day - timedelta(days=lead), SIX_IN_THE_MORNING, ZONE)
    moments = [datetime.combine(day, time()) + n * HOUR for n in range(HOURS_SAID)]
    hours = [ForecastHour(at.replace(tzinfo=ZONE), HOURS[at] + miss_f) for at in moments]
    return Forecast("made up", made_at.astimezone(UTC), made_at.astimezone(UTC), tuple(hours))


@cache
def said_and_seen(lead):
    said, seen = [], []
    for learnt_from, year in ((2017, 2016), (2016, 2017)):
        days, climate = spring(year), climate_of(learnt_from)
        misses_f = forecast_errors(len(days), (1, year))[lead]
        for day, miss_f in zip(days, misses_f, strict=True):
            forecast = foretold(day, lead, miss_f)
            outlook = Outlook(climate, forecast.fetched_at, forecast)
            offsets = [SPRINGFIELD.utc_offset_h]
            said.append(outlook.table([day], 55.0, clock_offset_h=offsets)[0, COLUMNS])
            seen.append([coldest_in_slot(HOURS, day, start) >= 55 for start in STARTS])
    return np.concatenate(said), np.ravel(seen).astype(float)


def brier(lead):
    said, seen = said_and_seen(lead)
    return float(np.mean((said - seen) ** 2))


@pytest.mark.parametrize(("lead", "most"), [(0, 0.05), (2, 0.065), (4, 0.075), (7, 0.09)])
def test_the_nearer_the_day_the_sharper_it_is(lead, most):
    assert brier(lead) <= most < CLIMATE_ALONE


def test_it_hardly_ever_gets_worse_as_the_day_comes_nearer():
    assert all(brier(sooner) <= brier(later) + 0.006 for sooner, later in pairwise(LEADS))


@pytest.mark.parametrize("lead", LEADS)
def test_it_says_neither_too_much_nor_too_little(lead):
    said, seen = said_and_seen(lead)
    assert said.size == 856
    assert abs(np.mean(said - seen)) <= 0.03


@pytest.mark.parametrize("low", [0.0, 0.2, 0.4, 0.6, 0.8])
def test_what_is_said_comes_true_about_as_often(low):
    every = [said_and_seen(lead) for lead in LEADS]
    said, seen = (np.concatenate(column) for column in zip(*every, strict=True))
    group = (said >= low) & (said < low + 0.2 + 1e-9)
    assert group.sum() > 300
    assert abs(said[group].mean() - seen[group].mean()) < 0.08
