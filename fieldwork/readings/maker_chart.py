"""A maker's chart of normal pressures, read between its outdoor temperatures."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from fieldwork.readings.equipment import MakerPressures

NEAR_WB_F = 2.0
"""How far the wet bulb may be from a column of the chart: own choice."""


def normal_pressures(
    chart: Iterable[MakerPressures], outdoor_f: float | None, return_wb_f: float | None
) -> MakerPressures | None:
    """Normal pressures now; None outside the chart, or when a reading is lacking."""
    if outdoor_f is None or return_wb_f is None:
        return None
    rows = list(chart)
    columns = sorted({row.return_wb_f for row in rows}, key=lambda wb: abs(wb - return_wb_f))
    if not columns or abs(columns[0] - return_wb_f) > NEAR_WB_F:
        return None
    column = sorted(
        (row for row in rows if row.return_wb_f == columns[0]), key=lambda row: row.outdoor_f
    )
    for row in column:
        if row.outdoor_f == outdoor_f:
            return row
    for below, above in pairwise(column):
        if below.outdoor_f <= outdoor_f <= above.outdoor_f:
            return _between(below, above, outdoor_f)
    return None


def _between(below: MakerPressures, above: MakerPressures, outdoor_f: float) -> MakerPressures:
    share = (outdoor_f - below.outdoor_f) / (above.outdoor_f - below.outdoor_f)
    return MakerPressures(
        outdoor_f,
        below.return_wb_f,
        below.suction_psig + share * (above.suction_psig - below.suction_psig),
        below.liquid_psig + share * (above.liquid_psig - below.liquid_psig),
    )
