"""The fields: complete, named by their units, and asked only where they can be answered."""

from dataclasses import replace

import pytest

from fieldwork.readings import FIELDS, Equipment, check_lists, fields_for, hard_range, soft_range
from tests.fieldwork.readings.units import FIXED, FURNACE, HEAT_PUMP, VALVE

ENDS = {
    "°F": "_f", "psig": "_psig", "in WC": "_in_wc", "V": ("_v", "_idle", "_running", "_l3"),
    "A": "_a", "µF": "_uf", "ppm": "_ppm", "%": "_percent", "cfm": "_cfm", "µA": "_ua",
    "Ω": "_ohm", "oz": "_oz", "in": "_in",
}  # fmt: skip


@pytest.mark.parametrize("field", FIELDS.values(), ids=lambda field: field.name)
def test_a_field_has_all_that_a_screen_needs(field):
    assert field.label
    assert field.checks
    assert (field.kind == "number") == (field.hard is not None)
    assert (field.kind == "number") == (not field.choices)
    if field.unit in ENDS:
        assert field.name.endswith(ENDS[field.unit])


@pytest.mark.parametrize(
    "field", [f for f in FIELDS.values() if f.soft is not None], ids=lambda field: field.name
)
def test_what_is_usual_is_possible(field):
    assert field.hard[0] <= field.soft[0] < field.soft[1] <= field.hard[1]


@pytest.mark.parametrize(
    ("unit", "work", "lists"),
    [
        (VALVE, "cooling", ("cooling",)),
        (VALVE, "heating", ()),
        (HEAT_PUMP, "both", ("cooling", "heat_pump")),
        (FURNACE, "both", ("furnace",)),
        (Equipment("package", fuel="propane"), "both", ("cooling", "furnace")),
        (Equipment("air_handler"), "both", ()),
    ],
)
def test_a_visit_goes_through_the_lists_of_its_equipment(unit, work, lists):
    assert check_lists(unit, work) == lists


def names_of(unit, *lists):
    return [field.name for field in fields_for(unit, lists)]


def test_three_voltages_are_asked_only_at_three_phases():
    assert "line_v_l2_l3" not in names_of(VALVE, "cooling")
    assert "line_v_l2_l3" in names_of(replace(VALVE, phases=3), "cooling")


def test_gauges_are_not_asked_at_an_inverter():
    assert "suction_psig" not in names_of(replace(VALVE, inverter=True), "cooling")


def test_a_leak_sensor_is_asked_only_with_a_flammable_refrigerant():
    assert "leak_sensor_alarm" not in names_of(FIXED, "cooling")
    assert "leak_sensor_alarm" in names_of(replace(FIXED, refrigerant="R-454B"), "cooling")


def test_safety_comes_first_and_what_is_shared_is_asked_once():
    names = names_of(Equipment("package", fuel="propane"), "cooling", "furnace")
    assert names[0] == "gas_leak_found"
    assert len(names) == len(set(names))


def test_usual_pressures_follow_the_outdoor_air_and_the_elevation():
    liquid = FIELDS["liquid_psig"]
    mild, hot = (soft_range(liquid, VALVE, {"outdoor_db_f": f}) for f in (70.0, 100.0))
    assert mild[1] < hot[1]
    suction = FIELDS["suction_psig"]
    high = soft_range(suction, replace(VALVE, elevation_ft=5000.0), {})
    assert high[0] > soft_range(suction, VALVE, {})[0]


@pytest.mark.parametrize(
    ("refrigerant", "most"), [("R-22", 150.0), ("R-410A", 250.0), ("R-32", 250.0), (None, 250.0)]
)
def test_possible_pressures_follow_the_refrigerant(refrigerant, most):
    unit = replace(VALVE, refrigerant=refrigerant)
    assert hard_range(FIELDS["suction_psig"], unit, {})[1] == most


def test_usual_airflow_follows_the_tons():
    assert soft_range(FIELDS["airflow_cfm"], VALVE, {}) == (900.0, 1350.0)
    assert soft_range(FIELDS["airflow_cfm"], replace(VALVE, tons=None), {}) is None


def test_usual_electricity_follows_the_plate():
    assert soft_range(FIELDS["line_v_running"], VALVE, {}) == pytest.approx((187.2, 253.0))
    assert soft_range(FIELDS["capacitor_fan_uf"], VALVE, {}) == pytest.approx((4.7, 5.3))
    assert soft_range(FIELDS["compressor_a"], VALVE, {}) == (0.0, 16.0)


@pytest.mark.parametrize("name", ["line_v_running", "capacitor_fan_uf", "compressor_a"])
def test_nothing_is_odd_where_nothing_is_on_file(name):
    assert soft_range(FIELDS[name], Equipment("air_conditioner"), {}) is None


def test_a_usual_liquid_line_is_not_colder_than_the_outdoor_air():
    assert soft_range(FIELDS["liquid_line_f"], VALVE, {"outdoor_db_f": 80.0}) == (80.0, 110.0)


def test_no_usual_pressure_beyond_the_table_of_the_refrigerant():
    assert soft_range(FIELDS["liquid_psig"], VALVE, {"outdoor_db_f": 125.0}) is None


def test_the_high_side_of_r134a_is_lower():
    unit = replace(VALVE, refrigerant="R-134a")
    assert hard_range(FIELDS["liquid_psig"], unit, {}) == (30.0, 350.0)
