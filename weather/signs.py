"""Weather to be warned of: the first heat, and hours in which nobody should climb. Pure. °F, mph.

What is foretold warns; whether to climb is decided on the spot, by the rules of the employer and
of the place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

import numpy as np

from weather.blending import chance_at_least
from weather.climate import Climate, daily_normals
from weather.forecast import Forecast, ForecastHour
from weather.outlook import Outlook
from weather.warmth import P10_SD

# From here on repair calls swallow the day (common practice, no source).
HOT_F = 85.0
LIKELY = 0.5
FREEZING_F = 32.0
# Common practice, no source: ladders and roofs are left alone in such a wind.
STRONG_WIND_MPH = 25.0
WET_PERCENT = 30.0  # own choice: from this chance on rain in frost counts as ice
ICE_WORDS = re.compile(
    r"freezing (rain|drizzle|fog)|\bice\b|\bicy\b|sleet|wintry mix", re.IGNORECASE
)
LIGHTNING_WORDS = re.compile(r"thunder|lightning", re.IGNORECASE)
HOUR = timedelta(hours=1)


class Danger(StrEnum):
    """Why nobody should climb."""

    ICE = "ice"
    LIGHTNING = "lightning"
    WIND = "wind"


@dataclass(frozen=True, slots=True)
class Heat:
    """A day that will be hot with probability `chance`."""

    day: date
    chance: float


@dataclass(frozen=True, slots=True)
class Storm:
    """From `begins` to `ends` ladders and roofs are off limits, because of `dangers`."""

    begins: datetime
    ends: datetime
    dangers: frozenset[Danger]


def first_heat(
    outlook: Outlook,
    days: Sequence[date],
    *,
    clock_offset_h: Sequence[float],
    hot_f: float = HOT_F,
    likely: float = LIKELY,
) -> Heat | None:
    """The first of `days` within the forecast's reach that is likely to be hot; None: none is."""
    for day, offset_h in zip(days, clock_offset_h, strict=True):
        if outlook.source_of(day) == "climate":
            continue
        band = outlook.day_band(day, clock_offset_h=offset_h)
        sd_f = (band.p90_f - band.p50_f) / P10_SD
        chance = float(chance_at_least(hot_f, band.p50_f, sd_f))
        if chance >= likely:
            return Heat(day, chance)
    return None


def first_hot_day(
    climate: Climate, year: int, share: float, *, hot_f: float = HOT_F
) -> date | None:
    """By which day the year's first hot day has come in `share` of all years; None: by none.

    Days are taken as independent and as normally distributed, which puts it early rather than
    late: for Milwaukee the middle is 20 May where 22 to 23 May came, on the High Plains it is
    weeks early (tests/outside/test_first_heat.py).
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"The share of years is {share:g}; it must lie between 0 and 1.")
    first = date(year, 1, 1)
    days = [first + timedelta(days=n) for n in range((date(year + 1, 1, 1) - first).days)]
    mean_f, sd_f, _, _ = daily_normals(climate, days)
    come = 1.0 - np.cumprod(1.0 - chance_at_least(hot_f, mean_f, sd_f))
    if come[-1] < share:
        return None
    return days[int(np.argmax(come >= share))]


def storms(forecast: Forecast) -> tuple[Storm, ...]:
    """Stretches of hours in which something forbids ladders and roofs, in order."""
    found: list[Storm] = []
    for hour in forecast.hours:
        dangers = dangers_of(hour)
        if not dangers:
            continue
        if found and found[-1].ends == hour.at:
            last = found.pop()
            found.append(Storm(last.begins, hour.at + HOUR, last.dangers | dangers))
        else:
            found.append(Storm(hour.at, hour.at + HOUR, dangers))
    return tuple(found)


def dangers_of(hour: ForecastHour) -> frozenset[Danger]:
    """What forbids climbing in an hour."""
    wet = (hour.precipitation_percent or 0.0) >= WET_PERCENT
    signs = {
        Danger.ICE: (wet and hour.temperature_f <= FREEZING_F)
        or ICE_WORDS.search(hour.conditions) is not None,
        Danger.LIGHTNING: LIGHTNING_WORDS.search(hour.conditions) is not None,
        Danger.WIND: (hour.wind_mph or 0.0) >= STRONG_WIND_MPH,
    }
    return frozenset(danger for danger, there in signs.items() if there)
