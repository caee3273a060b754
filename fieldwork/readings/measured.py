"""What follows from the readings of a cooling check before anything is judged."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fieldwork.readings.air import wet_bulb_f
from fieldwork.readings.airflow import target_split_f
from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Value
from fieldwork.readings.saturation import Curve, OutsideTable, atmosphere_psia, saturation_f
from fieldwork.readings.superheat_chart import NotTestable, target_superheat_f

# Where the split's target was fitted, and a little beyond.
_SPLIT_DB_F, _SPLIT_WB_F = (68.0, 82.0), (50.0, 76.0)


@dataclass(frozen=True)
class Measured:
    """Temperatures °F; None is what the readings do not tell."""

    evaporator_f: float | None
    """Saturation at the suction gauge, vapour side."""
    condenser_f: float | None
    """Saturation at the liquid gauge, liquid side."""
    superheat_f: float | None
    subcooling_f: float | None
    split_f: float | None
    evaporator_under_return_f: float | None
    condenser_over_outdoor_f: float | None
    return_wb_f: float | None
    target_superheat_f: float | NotTestable | None
    target_split_f: float | None


def measure(equipment: Equipment, readings: Mapping[str, Value]) -> Measured:
    """Readings must be possible ones, as `case.case_of` leaves them."""

    def read(name: str) -> float | None:
        value = readings.get(name)
        return None if value is None else float(value)

    evaporator_f = saturated_f(equipment, "dew", read("suction_psig"))
    condenser_f = saturated_f(equipment, "bubble", read("liquid_psig"))
    outdoor_f, return_f = read("outdoor_db_f"), read("return_db_f")
    wet_f = _return_wet_bulb(equipment, readings)
    return Measured(
        evaporator_f,
        condenser_f,
        _less(read("suction_line_f"), evaporator_f),
        _less(condenser_f, read("liquid_line_f")),
        _less(return_f, read("supply_db_f")),
        _less(return_f, evaporator_f),
        _less(condenser_f, outdoor_f),
        wet_f,
        None if outdoor_f is None or wet_f is None else target_superheat_f(outdoor_f, wet_f),
        _target_split(return_f, wet_f),
    )


def saturated_f(equipment: Equipment, curve: Curve, psig: float | None) -> float | None:
    """None without a reading or a refrigerant on file, and beyond the table."""
    if psig is None or equipment.refrigerant is None:
        return None
    try:
        return saturation_f(equipment.refrigerant, curve, psig, equipment.sea_level_or_elevation_ft)
    except OutsideTable:
        return None


def instrument_error_f(
    equipment: Equipment,
    curve: Curve,
    psig: float | None,
    line_f: float | None,
    gauge_psi: float,
    thermometer_f: float,
) -> float:
    """Error of a superheat or subcooling, the gauge's and the thermometer's squared and added.

    The thermometer's is 0.1 % of the reading more; 0 where the readings do not tell.
    """
    if psig is None or line_f is None:
        return 0.0
    above = saturated_f(equipment, curve, psig + gauge_psi)
    below = saturated_f(equipment, curve, psig - gauge_psi)
    if above is None or below is None:
        return 0.0
    return math.hypot((above - below) / 2.0, thermometer_f + 0.001 * abs(line_f))


def _return_wet_bulb(equipment: Equipment, readings: Mapping[str, Value]) -> float | None:
    """As read, else from the relative humidity."""
    if (read := readings.get("return_wb_f")) is not None:
        return float(read)
    dry, humidity = readings.get("return_db_f"), readings.get("return_rh_percent")
    if dry is None or humidity is None:
        return None
    psia = atmosphere_psia(equipment.sea_level_or_elevation_ft)
    return wet_bulb_f(float(dry), float(humidity) / 100.0, psia)


def _target_split(return_f: float | None, wet_f: float | None) -> float | None:
    if return_f is None or wet_f is None:
        return None
    fitted = _SPLIT_DB_F[0] <= return_f <= _SPLIT_DB_F[1] and _SPLIT_WB_F[0] <= wet_f
    return target_split_f(return_f, wet_f) if fitted and wet_f <= _SPLIT_WB_F[1] else None


def _less(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else a - b
