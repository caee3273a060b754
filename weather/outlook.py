"""What is known now about a branch's coming hours: its climate, and the last forecast.

Forecast and climate are joined hour by hour (weather.blending). The forecast is first freed of the
place's learnt bias; its spread is that of its days ahead, and grows as it ages: past twelve hours
each further day of age counts as a day more ahead, and after two days climate stands alone.
Temperatures °F. Pure.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property

import numpy as np

from weather.blending import blend, chance_at_least
from weather.climate import Climate, FloatArray, daily_normals
from weather.forecast import Forecast
from weather.skill import LEADS, START_SKILL, Skill
from weather.warmth import (
    P10_SD,
    SPAN_H,
    STEP_MIN,
    Band,
    HourlyBand,
    check_span,
    check_step,
    check_test_temperature,
    hours_of,
)

FRESH_FOR_H = 12.0
OF_NO_USE_AFTER_H = 48.0
# From this share of the joined precision on, people may call it the forecast's word.
MOSTLY = 0.8


@dataclass(frozen=True)
class Outlook:
    """`forecast` None: there is none, climate alone speaks. `now`: the moment it is asked."""

    climate: Climate
    now: datetime
    forecast: Forecast | None = None
    skill: Skill = START_SKILL

    @cached_property
    def age_h(self) -> float | None:
        """Hours since the forecast was made; None without one."""
        return None if self.forecast is None else self.forecast.age_h(self.now)

    @property
    def stale(self) -> bool:
        """Old enough to count less."""
        return self.age_h is not None and self.age_h > FRESH_FOR_H

    @property
    def uses_forecast(self) -> bool:
        return self.age_h is not None and self.age_h <= OF_NO_USE_AFTER_H

    def table(
        self,
        days: Sequence[date],
        test_temperature_f: float,
        *,
        clock_offset_h: Sequence[float],
        span_h: float = SPAN_H,
        step_min: int = STEP_MIN,
    ) -> FloatArray:
        """Warmth of every start on every day, as weather.warmth.warmth_table gives it."""
        check_test_temperature(test_temperature_f)
        check_span(span_h)
        check_step(step_min)
        if len(clock_offset_h) != len(days):
            raise ValueError(f"{len(days)} days need as many offsets, not {len(clock_offset_h)}.")
        starts, touched = 1440 // step_min, math.ceil(span_h * 60.0 / step_min) + 1
        clock_h = np.arange(starts + touched - 1) * np.float64(step_min / 60.0)
        mean_f, sd_f, _ = self._moments(days, clock_h, clock_offset_h)
        chances = chance_at_least(test_temperature_f, mean_f, sd_f)
        coldest: FloatArray = np.min([chances[:, k : k + starts] for k in range(touched)], axis=0)
        return coldest

    def warmth(
        self,
        day: date,
        start_hour: float,
        hours: float,
        test_temperature_f: float,
        *,
        clock_offset_h: float,
    ) -> float:
        """Probability that it is warm enough from `start_hour` for `hours`, as weather.warmth."""
        check_test_temperature(test_temperature_f)
        check_span(hours)
        step_h = STEP_MIN / 60.0
        first, last = math.floor(start_hour / step_h), math.ceil((start_hour + hours) / step_h)
        clock_h = np.arange(first, last + 1) * np.float64(step_h)
        mean_f, sd_f, _ = self._moments([day], clock_h, [clock_offset_h])
        return float(chance_at_least(test_temperature_f, mean_f, sd_f).min())

    def hourly_band(self, day: date, *, clock_offset_h: float) -> HourlyBand:
        """What the hours 0 to 23 of a day are like."""
        mean_f, sd_f, _ = self._moments([day], np.arange(24.0), [clock_offset_h])
        mean_f, reach_f = mean_f[0], P10_SD * sd_f[0]
        return HourlyBand(
            tuple((mean_f - reach_f).tolist()),
            tuple(mean_f.tolist()),
            tuple((mean_f + reach_f).tolist()),
        )

    def day_band(self, day: date, *, clock_offset_h: float) -> Band:
        """What the day's maximum is like: its warmest hour where that is foretold."""
        return self.day_bands([day], clock_offset_h=[clock_offset_h])[0]

    def day_bands(self, days: Sequence[date], *, clock_offset_h: Sequence[float]) -> list[Band]:
        """The same for each of the days, at once: a season has ninety."""
        mean_f, sd_f, weight = self._moments(days, np.arange(24.0), clock_offset_h)
        rows, warmest = np.arange(len(days)), mean_f.argmax(axis=1)
        foretold = weight[rows, warmest] > 0.0
        max_f, max_sd, _, _ = daily_normals(self.climate, days)
        top_f = np.where(foretold, mean_f[rows, warmest], max_f)
        reach_f = P10_SD * np.where(foretold, sd_f[rows, warmest], max_sd)
        bands = np.column_stack((top_f - reach_f, top_f, top_f + reach_f))
        return [Band(*band) for band in bands.tolist()]

    def source_of(self, day: date) -> str:
        """Whose word counts on a day: "forecast", "forecast and climate" or "climate"."""
        offset_h = self.climate.utc_offset_h
        _, _, weight = self._moments([day], np.arange(8.0, 18.0), [offset_h])
        share = float(weight.mean())
        if not share:
            return "climate"
        return "forecast" if share >= MOSTLY else "forecast and climate"

    def lead_of(self, day: date, clock_offset_h: float) -> int:
        """Days ahead, by the clock of the place."""
        today = (self.now + timedelta(hours=clock_offset_h)).date()
        return (day - today).days

    def _moments(
        self, days: Sequence[date], clock_h: FloatArray, clock_offset_h: Sequence[float]
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Mean, SD and the forecast's share of the precision; each [days, moments]."""
        offset_h = np.asarray(clock_offset_h, dtype=np.float64)[:, np.newaxis]
        standard_h = clock_h[np.newaxis, :] - (offset_h - self.climate.utc_offset_h)
        mean_f, sd_f = hours_of(self.climate, days, standard_h)
        weight = np.zeros_like(mean_f)
        if self.forecast is None or not self.uses_forecast:
            return mean_f, sd_f, weight
        for row, day in enumerate(days):
            ahead = self._counts_as_ahead(self.lead_of(day, clock_offset_h[row]))
            if ahead is None:
                continue
            foretold_f = self.forecast.temperatures_at(
                _hours_since_1970(day) - offset_h[row] + clock_h
            )
            known = ~np.isnan(foretold_f)
            said_f = foretold_f[known] - self._at(self.skill.bias_f, ahead)
            off_f = self._at(self.skill.sd_f, ahead)
            climate_sd_f = sd_f[row, known]
            weight[row, known] = climate_sd_f**2 / (climate_sd_f**2 + off_f**2)
            mean_f[row, known], sd_f[row, known] = blend(
                said_f, off_f, mean_f[row, known], climate_sd_f
            )
        return mean_f, sd_f, weight

    def _counts_as_ahead(self, lead: int) -> float | None:
        """Days ahead with the forecast's age; None: too far, past, or too old."""
        if not 0 <= lead < LEADS:
            return None
        late_days = max((self.age_h or 0.0) - FRESH_FOR_H, 0.0) / 24.0
        return min(lead + late_days, LEADS - 1.0)

    def _at(self, by_lead: Sequence[float], ahead: float) -> float:
        return float(np.interp(ahead, np.arange(LEADS), by_lead))


def _hours_since_1970(day: date) -> float:
    """Of midnight UTC."""
    return (day - date(1970, 1, 1)).days * 24.0
