"""The readings of a cooling check. Bounds: what plain physics and the trade allow, own choice."""

from __future__ import annotations

from fieldwork.readings.fields.field import CheckList, Field, Section, choice, look, yes_no

ALL: tuple[CheckList, ...] = ("cooling", "furnace", "heat_pump")
REFRIGERANTS = tuple(
    (name, name) for name in ("R-22", "R-134a", "R-407C", "R-410A", "R-32", "R-454B")
)
METHODS = (
    ("grid", "Pressure grid at the filter"),
    ("hood", "Flow hood"),
    ("traverse", "Anemometer, traversed"),
    ("rise", "Temperature rise"),
)
C: Section = "conditions"
R: Section = "refrigerant"
E: Section = "electrical"

CONDITIONS = (
    choice("refrigerant_on_plate", "Refrigerant on the plate", C, REFRIGERANTS, "cooling"),
    Field(
        "outdoor_db_f", "Outdoor air", "°F", "number", C, ALL, (-20, 130), (55, 110),
        hint="In the shade, where the air enters the outdoor unit.",
    ),
    Field(
        "minutes_running", "Running for", "min", "number", C, ("cooling",), (0, 240), (15, 240),
        hint="At least 15 minutes before the first reading, and again after any change of charge.",
    ),
    Field("return_db_f", "Return air, dry bulb", "°F", "number", C, ("cooling",),
          (40, 110), (70, 85), decimals=1),
    Field("return_wb_f", "Return air, wet bulb", "°F", "number", C, ("cooling",),
          (35, 90), (55, 72), decimals=1),
    Field("return_rh_percent", "Return air, relative humidity", "%", "number", C, ("cooling",),
          (1, 100), (15, 80), hint="Instead of the wet bulb."),
    Field("supply_db_f", "Supply air, dry bulb", "°F", "number", C, ("cooling",),
          (30, 100), (45, 65), decimals=1),
    Field("supply_wb_f", "Supply air, wet bulb", "°F", "number", C, ("cooling",),
          (30, 100), (42, 65), decimals=1),
)  # fmt: skip
AIR_FLOW = (
    Field(
        "tesp_in_wc", "Static pressure, total external", "in WC", "number", "air", ALL,
        (0, 3), (0.1, 1.0), decimals=2,
        hint="Return and supply added up without their signs: -0.22 and +0.25 are 0.47.",
    ),
    Field("filter_drop_in_wc", "Pressure drop of the filter", "in WC", "number", "air", ALL,
          (0, 3), (0.02, 0.5), decimals=2),
    Field("airflow_cfm", "Airflow, measured", "cfm", "number", "air", ALL, (100, 3000)),
    choice("airflow_method", "How the airflow was measured", "air", METHODS, *ALL),
)  # fmt: skip
REFRIGERANT = (
    Field("suction_psig", "Suction pressure", "psig", "number", R, ("cooling",), (0, 250),
          decimals=1),
    Field("liquid_psig", "Liquid pressure", "psig", "number", R, ("cooling",), (30, 650),
          decimals=1),
    Field("suction_line_f", "Suction line", "°F", "number", R, ("cooling",), (0, 120), (40, 75),
          decimals=1, hint="At the service valve, insulated from the air."),
    Field("liquid_line_f", "Liquid line", "°F", "number", R, ("cooling",), (30, 160), decimals=1,
          hint="At the service valve, insulated from the air."),
    Field(
        "refrigerant_added_oz", "Refrigerant added", "oz", "number", R, ("cooling",),
        (-400, 400), (-64, 64), decimals=1,
        hint="Recovered is minus. Only with an EPA section 608 certificate; never vent.",
    ),
)  # fmt: skip
ELECTRICAL = (
    Field("line_v_idle", "Line voltage, off", "V", "number", E, ("cooling",), (180, 260)),
    Field("line_v_running", "Line voltage, running (L1-L2)", "V", "number", E,
          ("cooling", "heat_pump"), (180, 260)),
    Field("line_v_l2_l3", "Line voltage, L2-L3", "V", "number", E, ("cooling",), (180, 260)),
    Field("line_v_l1_l3", "Line voltage, L1-L3", "V", "number", E, ("cooling",), (180, 260)),
    Field("control_v", "Control voltage", "V AC", "number", E, ALL, (10, 35), (22, 28),
          decimals=1),
    Field("contactor_drop_l1_v", "Drop across the contactor, L1", "V", "number", E, ("cooling",),
          (0, 30), decimals=2),
    Field("contactor_drop_l2_v", "Drop across the contactor, L2", "V", "number", E, ("cooling",),
          (0, 30), decimals=2),
    Field("compressor_a", "Compressor", "A", "number", E, ("cooling",), (0, 100), decimals=1),
    Field("outdoor_fan_a", "Outdoor fan", "A", "number", E, ("cooling",), (0, 10), decimals=2),
    Field("blower_a", "Indoor blower", "A", "number", E, ALL, (0, 15), decimals=2),
    Field("capacitor_compressor_uf", "Capacitor, compressor side", "µF", "number", E,
          ("cooling",), (1, 100), decimals=1,
          hint="Power off and verified, capacitor discharged."),
    Field("capacitor_fan_uf", "Capacitor, fan side", "µF", "number", E, ("cooling",), (1, 25),
          decimals=1, hint="Power off and verified, capacitor discharged."),
    Field("capacitor_compressor_a", "Compressor capacitor under load, current", "A", "number", E,
          ("cooling",), (0, 40), decimals=2,
          hint="Live, 370 V and more: only for those trained for it."),
    Field("capacitor_compressor_v", "Compressor capacitor under load, voltage", "V", "number", E,
          ("cooling",), (100, 600)),
    Field("capacitor_fan_a", "Fan capacitor under load, current", "A", "number", E, ("cooling",),
          (0, 10), decimals=2, hint="Live, 370 V and more: only for those trained for it."),
    Field("capacitor_fan_v", "Fan capacitor under load, voltage", "V", "number", E, ("cooling",),
          (100, 600)),
    Field("breaker_a", "Breaker or fuse in place", "A", "number", E, ("cooling",), (5, 200),
          (15, 60)),
)  # fmt: skip
CONDITION = (
    look("outdoor_coil", "Outdoor coil", "cooling"),
    look("outdoor_fins", "Outdoor fins", "cooling"),
    look("outdoor_fan", "Outdoor fan", "cooling"),
    look("indoor_coil", "Indoor coil", "cooling"),
    look("drain", "Condensate drain", "cooling", hint="Pour water in and see it leave."),
    look("float_switch", "Float switch", "cooling"),
    look("filter", "Filter", *ALL),
    look("insulation", "Insulation of the suction line", "cooling"),
    look("disconnect", "Disconnect and its contacts", "cooling"),
    look("contactor", "Contactor points", "cooling"),
    look("oil_stains", "Fittings and coils, oil stains", "cooling"),
    look("pad_level", "Pad under the unit", "cooling"),
    Field("clearance_in", "Nearest plant, wall or fence", "in", "number", "condition",
          ("cooling",), (0, 240)),
    yes_no("cover_off", "Winter cover is off", "condition", "cooling"),
    yes_no("leak_sensor_alarm", "The refrigerant leak sensor gives alarm", "safety", "cooling",
           "heat_pump"),
)  # fmt: skip
COOLING = (*CONDITIONS, *AIR_FLOW, *REFRIGERANT, *ELECTRICAL, *CONDITION)
