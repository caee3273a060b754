"""Volts, amps and microfarads: formulas of the electrical checks."""

from __future__ import annotations

import math
from collections.abc import Sequence

HERTZ = 60.0
# µF from amps and volts at 60 Hz: 1,000,000 / (2 pi 60) = 2652.58; the trade uses 2652.
MICROFARADS = 1e6 / (2.0 * math.pi * HERTZ)


def imbalance_percent(volts: Sequence[float]) -> float:
    """Largest distance from the mean of the three voltages, % of the mean. Never rounded between.

    Rounding first makes 1.8 % of 220, 216, 213 V, whose imbalance is 1.695 %.
    """
    mean = sum(volts) / len(volts)
    return 100.0 * max(abs(volt - mean) for volt in volts) / mean


def capacitance_uf(amps: float, volts: float) -> float:
    """Capacitance under load, from its current and the voltage across it."""
    if volts <= 0:
        raise ValueError(f"{volts:g} V across a capacitor says nothing.")
    return MICROFARADS * amps / volts


def difference_percent(measured: float, rated: float) -> float:
    """How far a measured value is from its rating, % of the rating; minus is less."""
    return 100.0 * (measured - rated) / rated


def contactor_limit_v(line_v: float, percent: float) -> float:
    """Most volts that a closed contact may drop: 3 % of 208 V is 6.24 V."""
    return line_v * percent / 100.0


def heater_kw(amps: float, volts: float) -> float:
    """Power of an electric heater."""
    return amps * volts / 1000.0
