"""Springs that never were: every slot of a day alike, the forecast right or wrong as told."""

from datetime import date, timedelta

import numpy as np

from weather.backtest.springs import Spring

FIRST = date(2027, 3, 1)
LAST = date(2027, 7, 31)
DAYS = [FIRST + timedelta(days=n) for n in range((LAST - FIRST).days + 1)]
NORMAL_F, NORMAL_SD_F = 60.0, 10.0
WARM_F, COLD_F, HOT_F = 75.0, 35.0, 88.0


def spring(temperature_of, heat_from=None, climate_f=NORMAL_F, year=2027):
    """`temperature_of(day)` is the °F of all its slots, or one value for each slot."""
    coldest_f = np.array([np.broadcast_to(temperature_of(day), 4) for day in DAYS], dtype=float)
    return Spring(
        place="Nowhere",
        year=year,
        days=tuple(DAYS),
        coldest_f=coldest_f,
        climate_mean_f=np.full_like(coldest_f, climate_f),
        climate_sd_f=np.full_like(coldest_f, NORMAL_SD_F),
        heat_day=(heat_from - FIRST).days if heat_from else None,
        climate_words="made up",
    )


def always_warm(**more):
    return spring(lambda day: WARM_F, **more)


def never_warm():
    return spring(lambda day: COLD_F)


def cold_between(first, last, **more):
    """One cold snap in a warm spring."""
    return spring(lambda day: COLD_F if first <= day <= last else WARM_F, **more)
