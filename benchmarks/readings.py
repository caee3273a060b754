"""How long the verdict on a whole visit takes, and how true its saturation is.

A heat pump's cooling and heating checks in one visit, two earlier visits for the trends. The
saturation is set against CoolProp every degree; CoolProp itself must not be loaded by the app.
"""

from __future__ import annotations

import datetime as dt
import statistics
import subprocess
import sys
import time
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))  # before this folder, whose readings.py is not the package

from benchmarks.report import finish, say

VISITS, QUICK_VISITS = 2_000, 200
TODAY = dt.date(2027, 5, 10)
TARGET_MS = 5.0


def verdict_ms(visits: int) -> list[float]:
    """Milliseconds of each of so many whole judgements."""
    from fieldwork.readings import EarlierVisit, judge
    from tests.fieldwork.readings.units import HEAT_PUMP, cooling

    readings = cooling(
        HEAT_PUMP, heating_return_f=68.0, heating_supply_f=95.0, defrost_starts=True,
        airflow_cfm=1150.0, supply_wb_f=54.0, capacitor_fan_uf=4.8,
    )  # fmt: skip
    earlier = [EarlierVisit(TODAY - dt.timedelta(days=365 * n), cooling(HEAT_PUMP)) for n in (1, 2)]
    took = []
    for _ in range(visits):
        begun = time.perf_counter()
        judge(HEAT_PUMP, readings, earlier, today=TODAY)
        took.append(1000.0 * (time.perf_counter() - begun))
    return took


def worst_saturation_f() -> float:
    """Largest difference to CoolProp, six refrigerants, both curves, -60 to 155 °F."""
    from fieldwork.readings.saturation import SEA_LEVEL_PSIA, saturation_f
    from tests.outside.coolprop import CURVES, FLUIDS, psia

    return max(
        abs(saturation_f(refrigerant, curve, pressure - SEA_LEVEL_PSIA) - at_f)
        for refrigerant in FLUIDS
        for curve in CURVES
        for at_f in range(-59, 155)
        if (pressure := psia(refrigerant, curve, at_f)) is not None
    )


def coolprop_loaded() -> bool:
    """Whether the web server's own entry brings CoolProp along."""
    program = "import sys, config.wsgi, fieldwork.readings; print('CoolProp' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return run.stdout.split()[-1] == "True"


def main() -> None:
    took = verdict_ms(QUICK_VISITS if "--quick" in sys.argv else VISITS)
    say(f"verdict: median {statistics.median(took):.2f} ms of {len(took)}")
    worst_f = worst_saturation_f()
    say(f"saturation: at most {worst_f:.3f} °F from CoolProp")
    finish(
        {
            "verdict_ms": round(statistics.median(took), 3),
            "verdict_p99_ms": round(sorted(took)[int(0.99 * len(took))], 3),
            "verdict_within_target": statistics.median(took) < TARGET_MS,
            "worst_saturation_f": round(worst_f, 4),
            "coolprop_loaded": coolprop_loaded(),
            "judged_by": {part: version(part) for part in ("CoolProp", "PsychroLib")},
        }
    )


if __name__ == "__main__":
    main()
