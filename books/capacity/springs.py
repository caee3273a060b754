"""Springs that might come: drawn from warmth, or real ones read from thermometers. Pure.

A warmth is the probability that a start is warm enough. A drawn day has one rank, uniform in 0 to
1: its starts are warm where their warmth is above one minus that rank, so a warm day is warm in all
its likely hours at once and each start is warm as often as its warmth says. Neighbouring days go
together: their ranks, as normal deviates, follow each other with a correlation of PERSISTENCE.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

# Correlation of the departures of neighbouring days' temperature from normal, March to June:
# 0.58 to 0.62 at 9, 12 and 15 o'clock at Springfield, Illinois, 2016-17; 0.37 to 0.39 two days on,
# as a first-order chain has it. At New York's airports in 2013 0.42 and 0.45: there 0.6 spreads the
# springs a little too far (tests/outside/test_warm_hours.py).
PERSISTENCE = 0.6
DRAWN = 400
_erf = np.vectorize(math.erf, otypes=[np.float64])


def ranks(days: int, springs: int, seed: int, persistence: float = PERSISTENCE) -> FloatArray:
    """How warm each day of each spring is among its like, 0 to 1; shape [springs, days].

    Raises ValueError for a persistence outside 0 to below 1.
    """
    if not 0.0 <= persistence < 1.0:
        raise ValueError(f"persistence is {persistence}; it must be at least 0 and less than 1.")
    deviates = np.random.default_rng(seed).standard_normal((springs, days))
    fresh = math.sqrt(1.0 - persistence**2)
    for day in range(1, days):
        deviates[:, day] = persistence * deviates[:, day - 1] + fresh * deviates[:, day]
    found: FloatArray = (1.0 + _erf(deviates / math.sqrt(2.0))) / 2.0
    return found


def drawn_springs(warmth: FloatArray, springs: int = DRAWN, seed: int = 1) -> BoolArray:
    """Whether each start is warm in each drawn spring: [springs, days, starts].

    `warmth`: [days, starts], as weather.outlook gives it.
    """
    u = ranks(len(warmth), springs, seed)
    warm: BoolArray = u[:, :, np.newaxis] > 1.0 - warmth[np.newaxis, :, :]
    return warm


def real_spring(hours_f: FloatArray, test_temperature_f: float, span_h: float = 2.0) -> BoolArray:
    """The same from a thermometer: [days, 48]. `hours_f`: [days, 24], °F, on the shifts' clock.

    A start is warm when every hour that a test of `span_h` touches is; hours past midnight are not
    looked at. NaN is not warm.
    """
    if hours_f.ndim != 2 or hours_f.shape[1] != 24:
        raise ValueError(f"A day has 24 hours; this table has the shape {hours_f.shape}.")
    warm_hours = hours_f >= test_temperature_f
    starts = np.zeros((len(hours_f), 48), dtype=np.bool_)
    for start in range(48):
        first = start // 2
        last = min(math.ceil(start / 2 + span_h), 23)
        starts[:, start] = warm_hours[:, first : last + 1].all(axis=1)
    return starts
