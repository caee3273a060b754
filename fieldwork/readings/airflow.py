"""Airflow: the split that it should make, and what a temperature rise says about it."""

from __future__ import annotations

from fieldwork.readings.air import SENSIBLE, altitude_factor

# Constant, WB, DB, WB², WB DB, DB²: a quadratic through 189 cells of a target split table that is
# remembered, not confirmed; it meets them within 0.06 °F. A screening, not an official table.
# Splits derived from makers' capacity tables lie 0.5 to 3.3 °F higher at a dry bulb of 80 °F.
_SPLIT = (-69.16639, 2.2031953, 0.51318681, -0.022812814, -9.59358e-5, 2.6455e-4)
SPLIT_SOURCE = "own fit to a remembered target split table: a screening of medium confidence"


def target_split_f(return_db_f: float, return_wb_f: float) -> float:
    """Return less supply dry bulb that a right airflow makes; 70 to 80 °F dry, 50 to 76 °F wet."""
    wb, db = return_wb_f, return_db_f
    constant, a, b, c, d, e = _SPLIT
    return constant + a * wb + b * db + c * wb * wb + d * wb * db + e * db * db


def cfm_by_rise(
    input_btu_h: float, efficiency: float, rise_f: float, elevation_ft: float = 0.0
) -> float:
    """Airflow of a furnace from its temperature rise (York D3CG p. 17, there without altitude).

    Raises ValueError for a rise that is none.
    """
    if rise_f <= 0:
        raise ValueError(f"{rise_f:g} °F is no temperature rise.")
    return input_btu_h * efficiency / (SENSIBLE * rise_f * altitude_factor(elevation_ft))
