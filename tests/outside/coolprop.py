"""CoolProp as a judge of saturation; a part for tests only, the project never loads it."""

from __future__ import annotations

from CoolProp.CoolProp import PropsSI

PA_A_PSI = 6894.757293168
# R-410A.mix does not converge at 110 °F; R-454B is known as a mixture only.
FLUIDS = {
    "R-22": "R22",
    "R-134a": "R134a",
    "R-407C": "R407C",
    "R-410A": "R410A",
    "R-32": "R32",
    "R-454B": "R454B.mix",
}
CURVES = {"bubble": 0, "dew": 1}


def psia(refrigerant: str, curve: str, temperature_f: float) -> float | None:
    """Absolute saturation pressure; None where the mixture solver does not converge."""
    kelvin = (temperature_f + 459.67) / 1.8
    try:
        pascal = PropsSI("P", "T", kelvin, "Q", CURVES[curve], FLUIDS[refrigerant])
    except ValueError:
        return None
    return float(pascal) / PA_A_PSI
