"""The year of a place as reminders need it: its cooling season and how much systems run.

Worked out once for a place from its climate; a home then costs a few look-ups.

How much a system runs. With the mean temperature T of a day taken as normal, the climate gives the
expected degree days E[max(0, T - 65)] and E[max(0, 65 - T)], and

    cooling share = E[max(0, T - 65)] / (hot day - 65)
    heating share = E[max(0, 65 - T)] / (65 - cold day)

each at most 1: a system that is just big enough runs all the time on the hottest or coldest hour
it was made for. The form follows from a house losing heat in proportion to the difference to
the outdoors. The 65 °F base is that of published US degree days. Taking the ninetieth percentile
of the hottest day's maximum and the tenth of the coldest day's minimum for those hours is our
own choice; so is the use of it for filters.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate

import numpy as np

from weather.climate import Climate, FloatArray, daily_normals, year_day
from weather.warmth import P10_SD

BASE_F = 65.0
LEAST_DESIGN_GAP_F = 5.0  # keeps the share finite where it is never hot, or never cold

# The cooling season: the days of the year of which one in five or more reaches 70 °F. Own choice.
# A unit is first run on the first hot day, well before warm days are the rule: on 37 springs at
# Champion, Nebraska (1982-2018: tests/outside/test_first_hot_days.py) a cover taken off a week
# before that season began was off before the first day of 80 °F in 68 % of the springs and of
# 85 °F in 86 %; waiting until every second day reaches 70 °F, in 8 % and 35 %.
RUN_F = 70.0
SEASON_CHANCE = 0.2
SUMMER_CHANCE = 0.5  # from here on the system cools more days than not

MonthDay = tuple[int, int]
YEAR = 365


@dataclass(frozen=True, eq=False, slots=True)
class PlaceFacts:
    """A place's year. A (month, day) is None where the year has no such edge: no real winter
    or no real summer.

    `season_begins` .. `season_ends`: the cooling season, at least one day in five reaches 70 °F.
    `summer_begins` .. `summer_ends`: at least every second day does.
    `cooling_sums`, `heating_sums`: shares of the time that a system runs, summed from 1 January
    over two years, 731 values beginning with 0.
    """

    season_begins: MonthDay | None
    season_ends: MonthDay | None
    summer_begins: MonthDay | None
    summer_ends: MonthDay | None
    cooling_sums: tuple[float, ...]
    heating_sums: tuple[float, ...]

    def run_share(self, first: date, days: int, *, cools: bool, heats: bool) -> float:
        """Share of the time, 0 to 1, that a system runs in `days` (1 to 365) from `first`."""
        begin = int(year_day(first)) - 1
        end = begin + min(days, YEAR)
        total = 0.0
        if cools:
            total += self.cooling_sums[end] - self.cooling_sums[begin]
        if heats:
            total += self.heating_sums[end] - self.heating_sums[begin]
        return min(1.0, total / (end - begin))


def place_facts(climate: Climate) -> PlaceFacts:
    """A place's year from its climate: about a millisecond, so once for a place."""
    days = [date(2001, 1, 1) + timedelta(days=n) for n in range(YEAR)]
    max_f, max_sd, min_f, min_sd = daily_normals(climate, days)
    warm = _each(_tail, (RUN_F - max_f) / max_sd)
    season = _stretch(days, max_f, warm, SEASON_CHANCE)
    summer = _stretch(days, max_f, warm, SUMMER_CHANCE)

    mean_f = (max_f + min_f) / 2.0
    shared = 2.0 * climate.correlation * max_sd * min_sd
    mean_sd = np.sqrt(np.maximum(max_sd**2 + min_sd**2 + shared, 1e-9)) / 2.0
    hot_f, cold_f = float((max_f + P10_SD * max_sd).max()), float((min_f - P10_SD * min_sd).min())
    above = _excess(mean_f - BASE_F, mean_sd) / max(hot_f - BASE_F, LEAST_DESIGN_GAP_F)
    below = _excess(BASE_F - mean_f, mean_sd) / max(BASE_F - cold_f, LEAST_DESIGN_GAP_F)
    return PlaceFacts(*season, *summer, _sums(above), _sums(below))


def _stretch(
    days: list[date], max_f: FloatArray, chances: FloatArray, least: float
) -> tuple[MonthDay | None, MonthDay | None]:
    """First day of the year's warm stretch, and the first day after it."""
    coldest, warmest = int(max_f.argmin()), int(max_f.argmax())
    begins = _first(chances >= least, coldest)
    ends = _first(chances < least, warmest)
    if begins is None or ends is None or begins == coldest or ends == warmest:
        return None, None
    return (days[begins].month, days[begins].day), (days[ends].month, days[ends].day)


def _first(holds: np.ndarray[tuple[int], np.dtype[np.bool_]], start: int) -> int | None:
    """The first day on which it holds, from `start` on around the year."""
    turned = np.roll(holds, -start)
    return (start + int(turned.argmax())) % YEAR if turned.any() else None


def _excess(mean: FloatArray, sd: FloatArray) -> FloatArray:
    """E[max(0, X)] of a normal X: sd * pdf(z) + mean * cdf(z) with z = mean / sd."""
    z = mean / sd
    density = np.exp(-z * z / 2.0) / math.sqrt(2.0 * math.pi)
    return np.maximum(0.0, sd * density + mean * _each(_tail, -z))


def _sums(shares: FloatArray) -> tuple[float, ...]:
    return tuple(accumulate(np.tile(np.minimum(shares, 1.0), 2).tolist(), initial=0.0))


def _tail(z: float) -> float:
    """P(a standard normal is z or more)."""
    return math.erfc(z / math.sqrt(2.0)) / 2.0


def _each(rule: Callable[[float], float], values: FloatArray) -> FloatArray:
    return np.array([rule(value) for value in values.tolist()])
