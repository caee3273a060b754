"""The slots of a day, in local standard time."""

from __future__ import annotations

import numpy as np

from weather.blending import FloatArray

STARTS_H = (8, 10, 13, 15)
READINGS_A_SLOT = 3  # two hours touch three hourly readings


def coldest_of_slots(days_f: FloatArray) -> FloatArray:
    """The lowest reading of each slot, NaN where one is missing; [days, 24] to [days, starts]."""
    slots = [days_f[:, start : start + READINGS_A_SLOT].min(axis=1) for start in STARTS_H]
    return np.stack(slots, axis=1)
