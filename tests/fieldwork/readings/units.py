"""Equipment and readings that are in order; each test changes what it is about."""

from __future__ import annotations

from dataclasses import replace

from fieldwork.readings import FIELDS, Equipment
from fieldwork.readings.airflow import target_split_f
from fieldwork.readings.saturation import saturation_psig

FIXED = Equipment(
    "air_conditioner", refrigerant="R-410A", metering="fixed", tons=3.0, compressor_rla_a=16.0,
    outdoor_fan_fla_a=1.2, blower_fla_a=4.0, line_v=230.0, line_v_lower=208.0, phases=1,
    most_breaker_a=30.0, capacitor_compressor_uf=45.0, capacitor_fan_uf=5.0, inverter=False,
)  # fmt: skip
VALVE = replace(FIXED, metering="txv", target_subcooling_f=10.0)
FURNACE = Equipment(
    "furnace", fuel="natural_gas", gas_input_btu_h=80_000.0, efficiency=0.8, least_rise_f=35.0,
    most_rise_f=65.0, blower_fla_a=6.0, inducer_fla_a=2.0,
)  # fmt: skip
HEAT_PUMP = replace(VALVE, kind="heat_pump", aux_heat_kw=9.6)
PACKAGE = replace(FIXED, kind="package")

TARGET_SUPERHEAT_F = 12.0  # of the chart at 80 °F outdoors and 62 °F wet bulb


def cooling(equipment=VALVE, **changed):
    """A healthy cooling check in warm weather: superheat 12 °F, subcooling 10 °F, split right."""
    refrigerant = equipment.refrigerant or "R-410A"
    feet = equipment.elevation_ft or 0.0
    readings = {
        "outdoor_db_f": 80.0, "minutes_running": 20.0, "return_db_f": 76.0, "return_wb_f": 62.0,
        "supply_db_f": 76.0 - target_split_f(76.0, 62.0), "tesp_in_wc": 0.45,
        "suction_psig": saturation_psig(refrigerant, "dew", 45.0, feet),
        "liquid_psig": saturation_psig(refrigerant, "bubble", 100.0, feet),
        "suction_line_f": 45.0 + TARGET_SUPERHEAT_F, "liquid_line_f": 90.0,
        "compressor_a": 11.0, "outdoor_fan_a": 1.0, "blower_a": 3.0, "line_v_running": 236.0,
        "contactor_drop_l1_v": 0.2, "contactor_drop_l2_v": 0.3, "capacitor_compressor_uf": 44.5,
        "capacitor_fan_uf": 5.0, "clearance_in": 30.0, "cover_off": True,
    }  # fmt: skip
    looks = {n: "pass" for n, f in FIELDS.items() if f.kind == "look" and "cooling" in f.checks}
    return without_none({**readings, **looks, **changed})


def heating(**changed):
    """A healthy furnace: 60 °F rise, plate's gas, clean flame."""
    readings = {
        "gas_leak_found": False, "ambient_co_before_ppm": 0.0, "ambient_co_after_ppm": 2.0,
        "rollout_tripped": False, "heat_exchanger": "sound", "spillage_found": False,
        "co_alarm_tested": True, "heating_return_f": 68.0, "heating_supply_f": 118.0,
        "tesp_in_wc": 0.45, "blower_a": 4.0, "gas_type": "natural_gas", "gas_inlet_in_wc": 7.0,
        "gas_manifold_in_wc": 3.5, "meter_dial_ft3": "1", "meter_seconds": 46.0,
        "gas_btu_per_ft3": 1030.0, "flame_ua": 3.0, "burner_on_steady": True, "flue_co_ppm": 20.0,
        "flue_o2_percent": 7.0, "limit_tested": True, "rollout_tested": True,
        "pressure_switch_tested": True,
    }  # fmt: skip
    looks = {n: "pass" for n, f in FIELDS.items() if f.kind == "look" and "furnace" in f.checks}
    return without_none({**readings, **looks, **changed})


def without_none(readings):
    """None in a test means: not read."""
    return {name: value for name, value in readings.items() if value is not None}


def superheat_of(value_f):
    """Suction line that makes this superheat at 45 °F of saturation."""
    return {"suction_line_f": 45.0 + value_f}


def subcooling_of(value_f):
    """Liquid line that makes this subcooling at 100 °F of saturation."""
    return {"liquid_line_f": 100.0 - value_f}


def split_off_by(value_f):
    """Supply air that makes the split this much larger than its target."""
    return {"supply_db_f": 76.0 - target_split_f(76.0, 62.0) - value_f}
