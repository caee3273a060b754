"""What a technician types: taken, asked about, or refused, and never guessed."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldwork.readings import FIELDS, Accepted, Asked, Refused, read_entry
from fieldwork.readings.numbers import readings_of
from tests.fieldwork.readings.units import FIXED, FURNACE, VALVE, cooling

R22 = replace(FIXED, refrigerant="R-22")


def read(name, text, unit=VALVE, so_far=None, sure=False):
    return read_entry(FIELDS[name], text, unit, so_far or {}, sure)


@pytest.mark.parametrize(
    ("text", "value"),
    [("72.5", 72.5), ("72,5", 72.5), (" 72.5 °F ", 72.5), ("72.5f", 72.5), ("+72", 72.0),
     ("72.", 72.0)],
)  # fmt: skip
def test_a_number_is_taken_as_it_is_meant(text, value):
    assert read("return_db_f", text) == Accepted(value)


@pytest.mark.parametrize("text", ["", "   ", "\u00a0"])
def test_empty_is_not_given(text):
    assert read("return_db_f", text) == Accepted(None)


@pytest.mark.parametrize("minus", ["-", "−", "–", "- "])
def test_every_minus_is_a_minus(minus):
    assert read("draft_in_wc", f"{minus}0.02", FURNACE) == Accepted(-0.02)


def test_minus_40_is_refused_with_what_is_possible():
    entry = read("outdoor_db_f", "−40")
    assert isinstance(entry, Refused)
    assert "−20 to 130" in entry.words


@pytest.mark.parametrize("text", ["abc", "1.2.3", "7 2", "--5", "nan", "inf", "1e3", "12/3"])
def test_what_is_no_number_is_refused_by_name(text):
    entry = read("suction_psig", text)
    assert isinstance(entry, Refused)
    assert entry.words.startswith("Suction pressure")


def test_a_comma_before_three_digits_is_asked_about():
    entry = read("airflow_cfm", "1,234")
    assert (entry.value, isinstance(entry, Asked)) == (1234.0, True)
    assert "1,234" in entry.question


def test_a_comma_and_a_point_leave_nothing_open():
    assert readings_of("1,234.5") == (1234.5,)
    assert readings_of("0,045") == (0.045,)
    assert readings_of("2,5") == (2.5,)


def test_celsius_is_suspected_and_asked_about():
    entry = read("supply_db_f", "13", so_far={"return_db_f": 76.0})
    assert isinstance(entry, Refused)  # 13 °F cannot be; the words tell what it would be
    assert "°C" in entry.words
    outdoor = read("outdoor_db_f", "24")
    assert outdoor.instead == pytest.approx(75.2)
    assert "75\u00a0°F" in outdoor.question


def test_a_unit_of_celsius_is_turned_and_asked_about():
    assert read("return_db_f", "24 °C") == Asked(
        pytest.approx(75.2), "Return air, dry bulb: 24 °C is 75.2\u00a0°F. Take that?"
    )


def test_microfarads_three_places_off_are_refused_with_a_hint():
    entry = read("capacitor_compressor_uf", "0.045")
    assert isinstance(entry, Refused)
    assert "1 to 100" in entry.words
    assert "45.0" in entry.words


@pytest.mark.parametrize(
    ("unit", "psig", "kind"), [(VALVE, "118", Accepted), (R22, "118", Asked), (R22, "151", Refused)]
)
def test_a_pressure_is_measured_by_its_refrigerant(unit, psig, kind):
    assert isinstance(read("suction_psig", psig, unit), kind)


def test_a_pressure_of_another_refrigerant_says_which_it_would_suit():
    assert "R-410A" in read("suction_psig", "118", R22).question


def test_a_wet_bulb_above_its_dry_bulb_is_refused():
    entry = read("return_wb_f", "70", so_far={"return_db_f": 68.0})
    assert isinstance(entry, Refused)
    assert "wet bulb" in entry.words


def test_a_high_side_below_the_low_side_is_refused():
    assert isinstance(read("liquid_psig", "120", so_far={"suction_psig": 125.0}), Refused)


def test_who_is_sure_of_an_odd_pressure_still_cannot_contradict_the_other_gauge():
    """110 psig is odd on the high side, and impossible below a suction of 118."""
    assert isinstance(
        read("liquid_psig", "100", so_far={"suction_psig": 118.0}, sure=True), Refused
    )
    both = {"outdoor_db_f": 80.0, "suction_psig": 118.0}
    assert isinstance(read("liquid_psig", "110", so_far=both, sure=True), Refused)


def test_celsius_behind_a_pressure_is_no_number():
    assert isinstance(read("suction_psig", "118 °C"), Refused)


def test_equal_gauges_mean_that_it_is_off():
    entry = read("liquid_psig", "190", so_far={"suction_psig": 190.0})
    assert isinstance(entry, Asked)
    assert "not running" in entry.question


def test_a_reading_of_a_system_that_does_not_run_is_asked_about():
    assert "0 minutes" in read("suction_psig", "118", so_far={"minutes_running": 0.0}).question


def test_a_plate_that_differs_from_the_file_is_asked_about():
    entry = read("refrigerant_on_plate", "R-22")
    assert isinstance(entry, Asked)
    assert "on file is R-410A" in entry.question


def test_a_quarrel_of_other_readings_is_not_told_again():
    so_far = {"refrigerant_on_plate": "R-22"}
    assert read("suction_psig", "118", so_far=so_far) == Accepted(118.0)


def test_a_supply_warmer_than_the_return_is_asked_about():
    entry = read("return_db_f", "70", so_far={"supply_db_f": 72.0})
    assert "is it cooling" in entry.question


def test_who_is_sure_is_not_asked_again_but_still_refused():
    assert read("outdoor_db_f", "24", sure=True) == Accepted(24.0)
    assert isinstance(read("outdoor_db_f", "-40", sure=True), Refused)


@pytest.mark.parametrize(("text", "value"), [("yes", True), ("No", False), ("TRUE", True)])
def test_yes_and_no(text, value):
    assert read("cover_off", text) == Accepted(value)


@pytest.mark.parametrize("text", ["pass", "Good", "GOOD"])
def test_a_look_is_taken_by_its_word_or_what_is_shown(text):
    assert read("drain", text) == Accepted("pass")


def test_a_word_that_is_no_choice_names_the_choices():
    assert "Good, Needs attention or Must be put right" in read("drain", "dunno").words


def test_amps_above_the_nameplate_are_asked_about():
    assert isinstance(read("compressor_a", "16.5"), Asked)


def test_winter_air_is_not_odd_at_a_furnace():
    assert read("outdoor_db_f", "20", FURNACE) == Accepted(20.0)
    assert isinstance(read("outdoor_db_f", "20"), Asked)


def test_carbon_monoxide_is_taken_at_once():
    """No question stands between a dangerous reading and its emergency."""
    assert read("ambient_co_after_ppm", "250", FURNACE) == Accepted(250.0)


@given(st.sampled_from(sorted(FIELDS)), st.text(max_size=12))
def test_nothing_typed_breaks_it(name, text):
    assert isinstance(read(name, text, so_far=cooling()), (Accepted, Asked, Refused))


@given(st.sampled_from(sorted(FIELDS)), st.floats(-1e6, 1e6))
def test_a_taken_number_is_the_number_typed_and_possible(name, value):
    field = FIELDS[name]
    entry = read(name, f"{value:.4f}", sure=True)
    if field.kind == "number" and isinstance(entry, Accepted):
        assert entry.value == float(f"{value:.4f}")
        assert field.hard[0] <= entry.value <= field.hard[1]


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [("gas_manifold_in_wc", "3.5 in WC", 3.5), ("gas_manifold_in_wc", '3.5"', 3.5),
     ("outdoor_db_f", "88 °F", 88.0), ("capacitor_fan_uf", "5 µF", 5.0),
     ("capacitor_fan_uf", "5 MFD", 5.0), ("igniter_ohm", "60 Ω", 60.0),
     ("suction_psig", "118 PSI", 118.0), ("line_v_running", "236 V AC", 236.0),
     ("meter_seconds", "46 sec", 46.0), ("flame_ua", "3 uA", 3.0)],
)  # fmt: skip
def test_a_unit_of_its_own_may_stand_behind(name, text, value):
    assert read(name, text) == Accepted(value)


@pytest.mark.parametrize(
    ("name", "text", "unit"),
    [("gas_manifold_in_wc", "0.5 psig", "psig"), ("suction_psig", "118 °F", "°F"),
     ("outdoor_db_f", "88 %", "%"), ("flame_ua", "3 A", "A"), ("capacitor_fan_uf", "5 V", "V")],
)  # fmt: skip
def test_another_unit_behind_a_number_is_refused_and_named(name, text, unit):
    refused = read(name, text)
    assert isinstance(refused, Refused)
    assert refused.words.endswith(f", not in {unit}.")
