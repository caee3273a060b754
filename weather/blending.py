"""A forecast joined with the climate, hour by hour, as normal distributions. °F.

Precision-weighted: right for forecasts that are truth plus noise; published ones are partly
shrunk towards the climate already, which the learnt error of a place takes up.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Values = FloatArray | float

# Standard deviation of forecast minus observed maximum, by days ahead (0 to 5): National Weather
# Service, March to May 2014-2017, 25 cities of the twelve Census Midwest states, computed from
# Lundell, Bean & Symanzik, Data Expo 2018. Days 6 and 7 are extrapolated.
LEAD_SD_F = (3.56, 4.24, 4.81, 5.45, 6.21, 7.15, 7.75, 8.35)

_erfc = np.vectorize(math.erfc, otypes=[np.float64])


def blend(
    forecast_f: Values, forecast_sd_f: Values, climate_f: Values, climate_sd_f: Values
) -> tuple[Values, Values]:
    """Mean and SD of the two joined by precision; shapes broadcast, SDs above 0."""
    weight, normal_weight = 1.0 / np.square(forecast_sd_f), 1.0 / np.square(climate_sd_f)
    both = weight + normal_weight
    return (forecast_f * weight + climate_f * normal_weight) / both, 1.0 / np.sqrt(both)


def chance_at_least(threshold_f: float, mean_f: Values, sd_f: Values) -> FloatArray:
    """P(temperature >= threshold) under a normal distribution; shapes broadcast."""
    short_by_sd = (threshold_f - np.asarray(mean_f)) / np.asarray(sd_f)
    tail: FloatArray = _erfc(short_by_sd / math.sqrt(2.0))
    return tail / 2.0
