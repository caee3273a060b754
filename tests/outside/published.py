"""Charts as their makers print them: the tests' own copy, not the one the project works with.

lennox_14acx_p26         Lennox Merit 14ACX manual p. 26: target superheat, ± 5 °F, None is a dash
carrier_38vta_table4     Carrier 38VTA Table 4 (R-22): the same, of another refrigerant
armstrong_4shp16lt_p14   Armstrong 4SHP16LT p. 14 Table 5: R-410A, °F and psig
allchemi_r32             allchemi.com, refrigerants, appendix 9: R-32, °C and bar absolute
lennox_lrp14ac_p23       Lennox LRP14AC p. 23 Table 10: normal pressures of a healthy unit (R-410A,
                         80/67 °F indoors), by model
lennox_ml180uhe_p30      Lennox ML180UHE p. 30: seconds for one turn of the gas meter
"""

from __future__ import annotations

import json
from pathlib import Path

CHARTS = json.loads((Path(__file__).parent / "published_charts.json").read_text())
WET_BULB_F = CHARTS["wet_bulb_f"]


def superheat_cells(chart):
    """(outdoor °F, wet bulb °F, target °F or None) of every cell."""
    return [
        (int(outdoor), wet_bulb, target)
        for outdoor, row in CHARTS[chart].items()
        for wet_bulb, target in zip(WET_BULB_F, row, strict=True)
    ]
