"""Saturation temperature and pressure of six refrigerants, from the gauge, at any elevation.

Constants fitted to CoolProp 8.0.0 (tables/saturation_fit.py); tests hold them within 0.05 °F of it
and within the printed charts' own errors of those. Bubble is the liquid side, for subcooling; dew
the vapour side, for superheat. Blends with a glide (R-407C, R-454B) differ between the two.

A gauge reads above the local air: at 5,000 ft, taking the sea level's reads R-22 at 68.5 psig
1.7 °F too high.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Literal

from fieldwork.readings.equipment import Refrigerant
from fieldwork.readings.tables.saturation_fit import CENTRE, COEFFICIENTS, HIGH_F, LOW_F

Curve = Literal["bubble", "dew"]
SEA_LEVEL_PSIA = 14.696
_STEPS = 30  # Newton needs about five; a polynomial this smooth never needs more


class OutsideTable(ValueError):
    """A pressure or temperature beyond -60 to 155 °F of saturation."""


def atmosphere_psia(elevation_ft: float) -> float:
    """Pressure of the standard atmosphere; elevation from -1,000 to 30,000 ft.

    ASHRAE Handbook of Fundamentals, chapter 1, eq. 3.
    """
    if not -1_000.0 <= elevation_ft <= 30_000.0:
        raise ValueError(f"{elevation_ft:g} ft is no elevation of a home.")
    return float(SEA_LEVEL_PSIA * (1.0 - 6.8754e-6 * elevation_ft) ** 5.2559)


def saturation_f(
    refrigerant: Refrigerant, curve: Curve, psig: float, elevation_ft: float = 0.0
) -> float:
    """Saturation temperature at a gauge pressure. Raises OutsideTable beyond the fit."""
    psia = psig + atmosphere_psia(elevation_ft)
    low, high = _psia_range(refrigerant, curve)
    if not low - 1e-9 <= psia <= high + 1e-9:
        raise OutsideTable(f"{psig:g} psig is outside the table of {refrigerant}.")
    return _polynomial(COEFFICIENTS[refrigerant][curve], math.log(psia) - CENTRE)[0]


def saturation_psig(
    refrigerant: Refrigerant, curve: Curve, temperature_f: float, elevation_ft: float = 0.0
) -> float:
    """Gauge pressure at which it boils or condenses; the inverse of `saturation_f`."""
    if not LOW_F <= temperature_f <= HIGH_F:
        raise OutsideTable(f"{temperature_f:g} °F is outside the table of {refrigerant}.")
    return _psia(refrigerant, curve, temperature_f) - atmosphere_psia(elevation_ft)


def _psia(refrigerant: Refrigerant, curve: Curve, temperature_f: float) -> float:
    coefficients = COEFFICIENTS[refrigerant][curve]
    x = (temperature_f - coefficients[0]) / coefficients[1]
    for _ in range(_STEPS):
        found_f, slope = _polynomial(coefficients, x)
        step = (found_f - temperature_f) / slope
        x -= step
        if abs(step) < 1e-13:
            break
    return math.exp(x + CENTRE)


@cache
def _psia_range(refrigerant: Refrigerant, curve: Curve) -> tuple[float, float]:
    return _psia(refrigerant, curve, LOW_F), _psia(refrigerant, curve, HIGH_F)


def _polynomial(coefficients: tuple[float, ...], x: float) -> tuple[float, float]:
    """Value and slope at x, by Horner's rule."""
    value = slope = 0.0
    for coefficient in reversed(coefficients):
        slope = slope * x + value
        value = value * x + coefficient
    return value, slope
