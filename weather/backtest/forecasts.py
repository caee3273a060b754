"""Forecasts that might have been: the truth plus an error as large as a real forecast's.

The error of the forecast for a day shrinks as the day comes nearer, as a martingale: what is
still unknown at a lead of L days is a sum of independent steps, with the standard deviation
`blending.LEAD_SD_F[L]`. It shifts the whole day. Errors of neighbouring days go together with a
correlation of 0.5 (own choice, no source). Beyond the last lead there is only the climate.

No policy makes use of that correlation, or of yesterday's miss: a real place would show whether
they help; here they would only be reading the simulation's own recipe.
"""

from __future__ import annotations

import math

import numpy as np

from weather.backtest.springs import Spring
from weather.blending import LEAD_SD_F, FloatArray, blend, chance_at_least

LEADS = len(LEAD_SD_F)
NEIGHBOURS_CORRELATION = 0.5


def forecast_errors(days: int, seed: tuple[int, ...], scale: float = 1.0) -> FloatArray:
    """Forecast minus truth, °F, shape [leads, days]; `scale` 1 is the size of real errors."""
    steps = np.random.default_rng(seed).standard_normal((LEADS, days))
    fresh = math.sqrt(1.0 - NEIGHBOURS_CORRELATION**2)
    for day in range(1, days):
        steps[:, day] = NEIGHBOURS_CORRELATION * steps[:, day - 1] + fresh * steps[:, day]
    variance_added = np.diff(np.square(LEAD_SD_F), prepend=0.0)
    errors: FloatArray = np.cumsum(steps * np.sqrt(variance_added)[:, np.newaxis], axis=0)
    return scale * errors


def chances(spring: Spring, seed: int, threshold_f: float, scale: float = 1.0) -> FloatArray:
    """Warmth of each slot as it is judged at each lead, shape [leads + 1, days, starts].

    The last entry is the climate alone. NaN where the slot's truth is missing.
    """
    errors = forecast_errors(len(spring.days), (seed, spring.year), scale)
    judged = np.empty((LEADS + 1, *spring.coldest_f.shape))
    for lead, sd_f in enumerate(LEAD_SD_F):
        said_f = spring.coldest_f + errors[lead][:, np.newaxis]
        spread_f = max(scale, 0.01) * sd_f
        mean, sd = blend(said_f, spread_f, spring.climate_mean_f, spring.climate_sd_f)
        judged[lead] = chance_at_least(threshold_f, mean, sd)
    judged[LEADS] = chance_at_least(threshold_f, spring.climate_mean_f, spring.climate_sd_f)
    return judged
