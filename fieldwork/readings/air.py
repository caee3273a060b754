"""Moist air and what a coil does to it. ASHRAE Handbook of Fundamentals 2017, chapter 1.

Written out here because the library that knows it, PsychroLib, compiles itself with numba
wherever numba is installed: 6.5 s in each process before its first answer. Tests judge these
formulas by PsychroLib 2.5.0 and by CoolProp. Temperatures °F, pressures psia, W in lb water per
lb dry air, enthalpy Btu/lb dry air, volume ft³/lb dry air.
"""

from __future__ import annotations

import math

from fieldwork.readings.saturation import SEA_LEVEL_PSIA, atmosphere_psia

FREEZING_F = 32.0
RANKINE = 459.67
# Eqs. 5 and 6 (Hyland & Wexler 1983): 1/T, 1, T, T², T³, T⁴, ln T; T in °R.
_OVER_ICE = (
    -1.0214165e4, -4.8932428, -5.3765794e-3, 1.9202377e-7, 3.5575832e-10, -9.0344688e-14,
    4.1635019,
)  # fmt: skip
_OVER_WATER = (
    -1.0440397e4, -1.1294650e1, -2.7022355e-2, 1.2890360e-5, -2.4780681e-9, 0.0, 6.5459673,
)  # fmt: skip
_WATER_TO_AIR = 0.621945  # ratio of their molecular masses
_GAS_FT3_PSI = 0.370486  # of dry air, with psia and °R

# Btu/h for a cfm and a degree of standard air, 0.075 lb/ft³: 60 x 0.075 x 0.24.
SENSIBLE = 1.08


def vapor_pressure_psia(temperature_f: float) -> float:
    """Saturation pressure of water, over ice below 32 °F; -148 to 392 °F."""
    a, b, c, d, e, f, g = _OVER_ICE if temperature_f < FREEZING_F else _OVER_WATER
    t = temperature_f + RANKINE
    return math.exp(a / t + b + t * (c + t * (d + t * (e + t * f))) + g * math.log(t))


def humidity_ratio(db_f: float, wb_f: float, psia: float = SEA_LEVEL_PSIA) -> float:
    """W from dry and wet bulb (eqs. 33 and 35). Raises ValueError for a wet bulb above the dry."""
    if wb_f > db_f:
        raise ValueError(f"A wet bulb of {wb_f:g} °F is above its dry bulb of {db_f:g} °F.")
    saturated = _ratio_of(vapor_pressure_psia(wb_f), psia)
    if wb_f < FREEZING_F:
        found = (1220.0 - 0.04 * wb_f) * saturated - 0.240 * (db_f - wb_f)
        return max(found / (1220.0 + 0.444 * db_f - 0.48 * wb_f), 0.0)
    found = (1093.0 - 0.556 * wb_f) * saturated - 0.240 * (db_f - wb_f)
    return max(found / (1093.0 + 0.444 * db_f - wb_f), 0.0)


def wet_bulb_f(db_f: float, relative_humidity: float, psia: float = SEA_LEVEL_PSIA) -> float:
    """Wet bulb from a relative humidity (a share of one), by bisection to 0.0001 °F."""
    if not 0.0 < relative_humidity <= 1.0:
        raise ValueError(f"{relative_humidity:g} is no relative humidity; it is a share of one.")
    wanted = _ratio_of(relative_humidity * vapor_pressure_psia(db_f), psia)
    low, high = db_f - 100.0, db_f
    while high - low > 1e-4:
        middle = (low + high) / 2.0
        if humidity_ratio(db_f, middle, psia) < wanted:
            low = middle
        else:
            high = middle
    return high


def enthalpy(db_f: float, ratio: float) -> float:
    """Btu/lb dry air (eq. 30)."""
    return 0.240 * db_f + ratio * (1061.0 + 0.444 * db_f)


def volume_ft3(db_f: float, ratio: float, psia: float = SEA_LEVEL_PSIA) -> float:
    """ft³/lb dry air (eq. 26)."""
    return _GAS_FT3_PSI * (db_f + RANKINE) * (1.0 + 1.607858 * ratio) / psia


def altitude_factor(elevation_ft: float) -> float:
    """By what the sea level's constants shrink in thinner air: 0.832 at 5,000 ft."""
    return atmosphere_psia(elevation_ft) / SEA_LEVEL_PSIA


def coil_btu_h(
    cfm: float,
    return_f: tuple[float, float],
    supply_f: tuple[float, float],
    elevation_ft: float = 0.0,
) -> tuple[float, float]:
    """Total heat that a coil takes out, and the sensible part of it, Btu/h.

    `return_f` and `supply_f` are dry and wet bulb; `cfm` is measured in the return air. By the
    mass that really flows: the usual 4.5 and 1.08 of standard air read 4 and 2 % high at sea
    level, and 25 % at 5,000 ft. Within about 5 % before the instruments' own errors.
    Raises ValueError for a wet bulb above its dry bulb.
    """
    psia = atmosphere_psia(elevation_ft)
    before, after = humidity_ratio(*return_f, psia), humidity_ratio(*supply_f, psia)
    pounds_h = 60.0 * cfm / volume_ft3(return_f[0], before, psia)
    total = pounds_h * (enthalpy(return_f[0], before) - enthalpy(supply_f[0], after))
    sensible = pounds_h * (0.240 + 0.444 * after) * (return_f[0] - supply_f[0])
    return total, sensible


def _ratio_of(vapor_psia: float, psia: float) -> float:
    return _WATER_TO_AIR * vapor_psia / (psia - vapor_psia)
