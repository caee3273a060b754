"""Makes fieldwork/readings/tables/saturation_fit.py: python -m tests.outside.fit_saturation > FILE

Fits °F as a polynomial of degree 5 in ln(psia) - 4.5, for each refrigerant and curve, to CoolProp
8.0.0 at 120 Chebyshev points from -60 to 155 °F. A few points at which CoolProp's mixture solver
does not converge are left out.
"""

from __future__ import annotations

import math
import sys

import numpy as np
from numpy.polynomial.polynomial import polyfit, polyval

from tests.outside.coolprop import CURVES, FLUIDS, psia

LOW_F, HIGH_F, POINTS, DEGREE, CENTRE = -60.0, 155.0, 120, 5, 4.5


def fit(refrigerant: str, curve: str) -> tuple[list[float], float]:
    """Coefficients, constant first, and the largest difference at the points, °F."""
    nodes = np.cos(np.pi * (np.arange(POINTS) + 0.5) / POINTS)
    found = [
        (math.log(pressure) - CENTRE, temperature_f)
        for temperature_f in (LOW_F + HIGH_F) / 2 + (HIGH_F - LOW_F) / 2 * nodes
        if (pressure := psia(refrigerant, curve, temperature_f)) is not None
    ]
    x, t = np.array(found).T
    coefficients = polyfit(x, t, DEGREE)
    return coefficients.tolist(), float(abs(polyval(x, coefficients) - t).max())


HEAD = """\"\"\"Saturation of six refrigerants: written by tests/outside/fit_saturation.py.

°F as a polynomial in ln(psia) - 4.5, constant first, from -60 to 155 °F. The remark
is the largest difference to CoolProp 8.0.0 at the fitted points.
\"\"\"

from fieldwork.readings.equipment import Refrigerant

"""


def lines() -> list[str]:
    found = [f"CENTRE = {CENTRE}", f"LOW_F, HIGH_F = {LOW_F}, {HIGH_F}", ""]
    found += ["COEFFICIENTS: dict[Refrigerant, dict[str, tuple[float, ...]]] = {"]
    for refrigerant in FLUIDS:
        found += [f'    "{refrigerant}": {{']
        for curve in CURVES:
            coefficients, worst_f = fit(refrigerant, curve)
            numbers = ", ".join(f"{c:.9g}" for c in coefficients)
            found += [
                f'        "{curve}": (  # {worst_f:.3f} °F',
                f"            {numbers},",
                "        ),",
            ]
        found += ["    },"]
    return [*found, "}", ""]


if __name__ == "__main__":
    sys.stdout.write(HEAD + "\n".join(lines()))
