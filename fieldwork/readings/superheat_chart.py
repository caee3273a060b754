"""The superheat to aim at with a fixed orifice: the chart, read between its cells.

Bilinear between the four cells around a point. Where one of them is a dash, there is no target:
the rule of thumb would still give one, and in four cells it gives 5 °F and more.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from enum import StrEnum

from fieldwork.readings.tables.lennox_14acx import TARGET_F, WET_BULB_F

OUTDOOR_F = tuple(sorted(TARGET_F))


class NotTestable(StrEnum):
    """Why there is no target. Not a failure: the conditions forbid the test."""

    TOO_LOW = "too low"
    OFF_THE_CHART = "off the chart"


def target_superheat_f(outdoor_db_f: float, return_wb_f: float) -> float | NotTestable:
    """Target superheat from 40 to 115 °F outdoors and 50 to 76 °F wet bulb indoors."""
    row, column = _place(OUTDOOR_F, outdoor_db_f), _place(WET_BULB_F, return_wb_f)
    if row is None or column is None:
        return NotTestable.OFF_THE_CHART
    total = 0.0
    for outdoor, down in row:
        for wet_bulb, across in column:
            cell = TARGET_F[OUTDOOR_F[outdoor]][wet_bulb]
            if cell is None and down * across > 0:
                return NotTestable.TOO_LOW
            total += down * across * (cell or 0)
    return total


def rule_of_thumb_f(outdoor_db_f: float, return_wb_f: float) -> float:
    """(3 WB - 80 - OD) / 2: within 3 °F of the chart in 152 of its 160 cells, -7.5 at worst.

    Only shown beside the chart; nothing is judged by it.
    """
    return (3.0 * return_wb_f - 80.0 - outdoor_db_f) / 2.0


def _place(marks: Sequence[int], value: float) -> tuple[tuple[int, float], ...] | None:
    """The marks around a value with their shares; None beyond the ends."""
    if not marks[0] <= value <= marks[-1]:
        return None
    low = min(bisect_right(marks, value) - 1, len(marks) - 2)
    share = (value - marks[low]) / (marks[low + 1] - marks[low])
    return (low, 1.0 - share), (low + 1, share)
