"""What may be typed into a field for this equipment, and what is asked about."""

from __future__ import annotations

from collections.abc import Mapping

from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import CheckList, Field, Range, Value
from fieldwork.readings.limits import DEFAULT_LIMITS
from fieldwork.readings.saturation import Curve, OutsideTable, saturation_psig

# Gauge pressures that can be, psig: own choice, wide about what the refrigerant does.
_HIGH_PRESSURE = ("R-410A", "R-32", "R-454B")
_SUCTION, _LIQUID = (
    ("suction_psig", "heating_suction_psig"),
    ("liquid_psig", "heating_discharge_psig"),
)
_HEATING_OUTDOOR_F: Range = (-10.0, 85.0)
# A heat pump that heats on a warm day runs at pressures which tell nothing: own choice.
_HEAT_PUMP_OUTDOOR_F: Range = (-10.0, 70.0)
_EVAPORATOR_F: Range = (25.0, 55.0)
_CONDENSER_OVER_OUTDOOR_F: Range = (5.0, 40.0)
_LIQUID_OVER_OUTDOOR_F = 30.0
_PER_TON: Range = (300.0, 450.0)
_LINE = ("line_v_idle", "line_v_running", "line_v_l2_l3", "line_v_l1_l3")
_LINE_V: Range = (180.0, 260.0)
# What utilities deliver, Btu/ft³: common practice, no source.
_GAS_BTU: dict[str, Range] = {"natural_gas": (900.0, 1100.0), "propane": (2300.0, 2600.0)}
_RATED_AMPS = {
    "compressor_a": "compressor_rla_a",
    "outdoor_fan_a": "outdoor_fan_fla_a",
    "blower_a": "blower_fla_a",
    "inducer_a": "inducer_fla_a",
}
_RATED_UF = {
    "capacitor_compressor_uf": "capacitor_compressor_uf",
    "capacitor_fan_uf": "capacitor_fan_uf",
}


def hard_range(field: Field, equipment: Equipment, so_far: Mapping[str, Value]) -> Range | None:
    """Beyond it a value is refused. None: no bound."""
    refrigerant = equipment.refrigerant
    if field.name in _LINE and equipment.line_v is not None:
        lower = equipment.line_v_lower or equipment.line_v
        return min(_LINE_V[0], 0.75 * lower), max(_LINE_V[1], 1.2 * equipment.line_v)
    if refrigerant is None or field.name not in _SUCTION + _LIQUID:
        return field.hard
    if field.name in _SUCTION:
        return (0.0, 250.0) if refrigerant in _HIGH_PRESSURE else (0.0, 150.0)
    if refrigerant == "R-134a":
        return (30.0, 350.0)
    return (100.0, 650.0) if refrigerant in _HIGH_PRESSURE else (50.0, 450.0)


def soft_range(
    field: Field,
    equipment: Equipment,
    so_far: Mapping[str, Value],
    lists: tuple[CheckList, ...] | None = None,
) -> Range | None:
    """Beyond it a value is asked about. None: nothing is odd.

    `lists` are the check lists gone through; None takes a cooling check where the unit cools.
    """
    name = field.name
    if name in _RATED_AMPS:
        return _up_to(getattr(equipment, _RATED_AMPS[name]))
    if name in _RATED_UF:
        return _about(getattr(equipment, _RATED_UF[name]), _capacitor_percent(equipment))
    if name in _LINE:
        return _line_range(equipment)
    if name == "outdoor_db_f" and not (equipment.cools if lists is None else "cooling" in lists):
        return _HEAT_PUMP_OUTDOOR_F if "heat_pump" in (lists or ()) else _HEATING_OUTDOOR_F
    outdoor = so_far.get("outdoor_db_f")
    outdoor_f = None if outdoor is None else float(outdoor)
    if name == "suction_psig":
        return _pressures(equipment, "dew", *_EVAPORATOR_F)
    if name == "liquid_psig" and outdoor_f is not None:
        low, high = _CONDENSER_OVER_OUTDOOR_F
        return _pressures(equipment, "bubble", outdoor_f + low, outdoor_f + high)
    if name == "liquid_line_f" and outdoor_f is not None:
        return outdoor_f, outdoor_f + _LIQUID_OVER_OUTDOOR_F
    if name == "gas_btu_per_ft3":
        return _GAS_BTU.get(str(equipment.fuel or so_far.get("gas_type")))
    if name == "airflow_cfm" and equipment.tons is not None:
        return _PER_TON[0] * equipment.tons, _PER_TON[1] * equipment.tons
    return field.soft


def _up_to(rated: float | None) -> Range | None:
    return None if rated is None else (0.0, rated)


def _about(rated: float | None, percent: float) -> Range | None:
    share = percent / 100.0
    return None if rated is None else (rated * (1.0 - share), rated * (1.0 + share))


def _capacitor_percent(equipment: Equipment) -> float:
    own = equipment.capacitor_tolerance_percent
    return DEFAULT_LIMITS.capacitor_tolerance_percent.value if own is None else own


def _line_range(equipment: Equipment) -> Range | None:
    if equipment.line_v is None:
        return None
    share = DEFAULT_LIMITS.line_tolerance_percent.value / 100.0
    lower = equipment.line_v_lower or equipment.line_v
    return lower * (1.0 - share), equipment.line_v * (1.0 + share)


def _pressures(equipment: Equipment, curve: Curve, low_f: float, high_f: float) -> Range | None:
    refrigerant, elevation_ft = equipment.refrigerant, equipment.sea_level_or_elevation_ft
    if refrigerant is None:
        return None
    try:
        return (
            saturation_psig(refrigerant, curve, low_f, elevation_ft),
            saturation_psig(refrigerant, curve, high_f, elevation_ft),
        )
    except OutsideTable:
        return None
