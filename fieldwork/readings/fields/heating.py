"""The readings of a heating check: a furnace's, and a heat pump's heating mode."""

from __future__ import annotations

from fieldwork.readings.fields.field import CheckList, Field, Section, choice, look, yes_no

G: Section = "combustion"
H: Section = "heating"
F: tuple[CheckList, ...] = ("furnace",)
P: tuple[CheckList, ...] = ("heat_pump",)
BOTH: tuple[CheckList, ...] = ("furnace", "heat_pump")

SAFETY = (
    yes_no("gas_leak_found", "Gas leak found", "safety", "furnace",
           hint="Soap solution or a detector, never a flame."),
    Field("ambient_co_before_ppm", "CO in the room before", "ppm", "number", "safety", F,
          (0, 10_000)),
    Field("ambient_co_after_ppm", "CO in the room while it burns", "ppm", "number", "safety", F,
          (0, 10_000)),
    yes_no("rollout_tripped", "A rollout switch had tripped", "safety", "furnace"),
    choice(
        "heat_exchanger", "Heat exchanger", "safety",
        (("sound", "Looks sound"), ("suspect", "Cannot tell, look again"),
         ("cracked", "Cracked or open")),
        "furnace",
    ),
    yes_no("spillage_found", "Flue gas spills into the room", "safety", "furnace"),
    yes_no("co_alarm_tested", "CO alarm sounds at its test button", "safety", "furnace"),
)  # fmt: skip
HEATING = (
    Field("heating_return_f", "Return air, heating", "°F", "number", H, BOTH, (30, 110), (55, 80),
          decimals=1),
    Field("heating_supply_f", "Supply air, heating", "°F", "number", H, BOTH, (30, 200),
          (75, 160), decimals=1),
    choice("blower_speed", "Blower speed for heating", H,
           (("low", "Low"), ("medium", "Medium"), ("high", "High"), ("variable", "Variable")),
           "furnace"),
)  # fmt: skip
FURNACE = (
    choice("gas_type", "Gas", G, (("natural_gas", "Natural gas"), ("propane", "Propane")),
           "furnace"),
    Field("gas_inlet_in_wc", "Gas pressure, inlet", "in WC", "number", G, F, (0, 20),
          decimals=1),
    Field("gas_manifold_in_wc", "Gas pressure, manifold", "in WC", "number", G, F, (0, 20),
          decimals=1),
    choice("meter_dial_ft3", "Meter dial", G,
           (("0.25", "1/4 ft³"), ("0.5", "1/2 ft³"), ("1", "1 ft³"), ("2", "2 ft³"),
            ("5", "5 ft³")),
           "furnace"),
    Field("meter_seconds", "Seconds for one turn", "s", "number", G, F, (5, 600), decimals=1,
          hint="Every other gas appliance off."),
    Field("gas_btu_per_ft3", "Heat in the gas, from the utility", "Btu/ft³", "number", G, F,
          (800, 2600)),
    Field("flame_ua", "Flame current", "µA", "number", G, F, (0, 20), (1.5, 8), decimals=1),
    Field("igniter_ohm", "Igniter, cold", "Ω", "number", G, F, (1, 2000)),
    yes_no("burner_on_steady", "Flue readings taken with the burner on and steady", G, "furnace",
           hint="After burner-off the oxygen cell is faster than the CO cell: the reading lies."),
    Field("flue_co_ppm", "CO in the flue, as measured", "ppm", "number", G, F, (0, 10_000)),
    Field("flue_o2_percent", "Oxygen in the flue", "%", "number", G, F, (0, 20.8), (4, 14),
          decimals=1),
    Field("flue_co2_percent", "CO₂ in the flue", "%", "number", G, F, (0, 20), (4, 12),
          decimals=1),
    Field("stack_f", "Flue gas", "°F", "number", G, F, (40, 900), (90, 500)),
    Field("draft_in_wc", "Draft", "in WC", "number", G, F, (-1, 1), (-0.2, 0.1), decimals=3),
    Field("inducer_a", "Inducer", "A", "number", G, F, (0, 10), decimals=2),
    yes_no("limit_tested", "High limit stops the burner", G, "furnace"),
    yes_no("rollout_tested", "Rollout switches tested", G, "furnace"),
    yes_no("pressure_switch_tested", "Pressure switch tested", G, "furnace"),
    look("burners", "Burners and flame", "furnace"),
    look("vent", "Vent, its slope and joints", "furnace"),
    look("condensate_trap", "Condensate trap", "furnace"),
)  # fmt: skip
HEAT_PUMP = (
    Field("heating_suction_psig", "Suction pressure, heating", "psig", "number", H, P, (0, 250),
          decimals=1),
    Field("heating_discharge_psig", "Discharge pressure, heating", "psig", "number", H, P,
          (30, 650), decimals=1),
    Field("discharge_line_f", "Discharge line", "°F", "number", H, P, (60, 300), (100, 225),
          decimals=1),
    yes_no("defrost_starts", "Defrost starts when forced", H, "heat_pump"),
    yes_no("defrost_ends", "Defrost ends by itself", H, "heat_pump"),
    Field("defrost_sensor_ohm", "Defrost sensor", "Ω", "number", H, P, (0, 500_000)),
    yes_no("reversing_valve_both_ways", "Reversing valve shifts both ways", H, "heat_pump"),
    Field("aux_heat_stage_1_a", "Auxiliary heat, stage 1", "A", "number", H, P, (0, 100),
          decimals=1),
    Field("aux_heat_stage_2_a", "Auxiliary heat, both stages", "A", "number", H, P, (0, 150),
          decimals=1),
    Field("aux_lockout_f", "Auxiliary heat locked out above", "°F", "number", H, P, (0, 70)),
    yes_no("crankcase_heater_warm", "Crankcase heater is warm", H, "heat_pump"),
)  # fmt: skip
EVERY_HEATING = (*SAFETY, *HEATING, *FURNACE, *HEAT_PUMP)
