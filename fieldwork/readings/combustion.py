"""Gas by the meter's clock, and carbon monoxide as if the flue gas were not diluted."""

from __future__ import annotations

OXYGEN_OF_AIR = 20.9  # %
BTU_PER_FT3 = {"natural_gas": 1030.0, "propane": 2500.0}  # when the utility's figure is not known


def gas_ft3_h(dial_ft3: float, seconds: float) -> float:
    """Gas burnt in an hour, from one turn of a meter's dial."""
    if seconds <= 0:
        raise ValueError(f"{seconds:g} s is no time for a turn.")
    return dial_ft3 * 3600.0 / seconds


def gas_input_btu_h(dial_ft3: float, seconds: float, btu_per_ft3: float) -> float:
    return gas_ft3_h(dial_ft3, seconds) * btu_per_ft3


def air_free_co_ppm(co_ppm: float, oxygen_percent: float) -> float:
    """CO without the dilution by excess air. Raises ValueError where there is only air."""
    if not 0.0 <= oxygen_percent < OXYGEN_OF_AIR:
        raise ValueError(f"{oxygen_percent:g} % oxygen is no flue gas.")
    return co_ppm * OXYGEN_OF_AIR / (OXYGEN_OF_AIR - oxygen_percent)
