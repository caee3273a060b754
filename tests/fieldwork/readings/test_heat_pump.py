"""A heat pump's heating mode."""

from dataclasses import replace

import pytest

from fieldwork.readings import (
    FIELDS,
    Accepted,
    Asked,
    Outcome,
    Refused,
    check_lists,
    fields_for,
    judge,
    read_entry,
)
from tests.fieldwork.readings.units import HEAT_PUMP

HEATING = {
    "outdoor_db_f": 38.0, "heating_return_f": 68.0, "heating_supply_f": 94.0,
    "heating_suction_psig": 95.0, "heating_discharge_psig": 330.0, "aux_heat_stage_2_a": 41.0,
    "line_v_running": 234.0, "defrost_starts": True, "defrost_ends": True,
    "reversing_valve_both_ways": True, "crankcase_heater_warm": True,
}  # fmt: skip
WINTER = ("heat_pump",)
NOT_IN_ORDER = {
    "tesp": Outcome.ACT, "filter_drop": Outcome.WATCH, "blower_amps": Outcome.ACT,
    "control_volts": Outcome.WATCH,
}  # fmt: skip


def test_its_charge_is_not_judged_in_heating():
    verdict = judge(HEAT_PUMP, HEATING).of("heating_charge")
    assert not verdict.applies
    assert "weighed in" in verdict.sentence


@pytest.mark.parametrize(("supply_f", "outcome"), [(94.0, "within limits"), (67.0, "act")])
def test_it_must_warm_the_air(supply_f, outcome):
    judgement = judge(HEAT_PUMP, {**HEATING, "heating_supply_f": supply_f})
    assert judgement.of("heating_rise").outcome == outcome


@pytest.mark.parametrize(
    ("amps", "outcome"), [(41.0, "within limits"), (20.0, "watch"), (0.0, "watch")]
)
def test_auxiliary_heat_is_set_against_its_rating_at_this_voltage(amps, outcome):
    judgement = judge(HEAT_PUMP, {**HEATING, "aux_heat_stage_2_a": amps})
    assert judgement.of("aux_heat").outcome == outcome


@pytest.mark.parametrize("name", ["defrost_starts", "defrost_ends", "reversing_valve_both_ways"])
def test_what_does_not_work_is_acted_on(name):
    assert judge(HEAT_PUMP, {**HEATING, name: False}).of(name).outcome is Outcome.ACT


def test_a_second_stage_that_draws_nothing_is_not_passed_over():
    readings = {**HEATING, "aux_heat_stage_1_a": 41.0, "aux_heat_stage_2_a": 0.0}
    assert judge(HEAT_PUMP, readings).of("aux_heat").outcome is Outcome.WATCH


def test_a_pump_that_warms_by_nothing_has_not_warmed():
    judgement = judge(HEAT_PUMP, {**HEATING, "heating_supply_f": 68.0})
    assert judgement.of("heating_rise").outcome is Outcome.ACT


@pytest.mark.parametrize(
    ("volts", "amps"), [(240.0, 40.0), (230.0, 38.33), (208.0, 34.67)]
)  # 9.6 kW at 240 V is a resistance of 6 ohm
def test_the_strips_give_less_on_a_lower_voltage_and_are_in_order(volts, amps):
    readings = {**HEATING, "line_v_running": volts, "aux_heat_stage_2_a": amps}
    verdict = judge(HEAT_PUMP, readings).of("aux_heat")
    assert verdict.outcome is Outcome.WITHIN
    assert verdict.value == pytest.approx(100.0, abs=0.1)


def asked(unit=HEAT_PUMP):
    return {field.name for field in fields_for(unit, WINTER)}


def test_a_winters_check_asks_for_the_heating_mode_and_for_no_cooling_test():
    wanted = {
        "outdoor_db_f", "heating_return_f", "heating_supply_f", "heating_suction_psig",
        "heating_discharge_psig", "discharge_line_f", "defrost_starts", "defrost_ends",
        "reversing_valve_both_ways", "aux_heat_stage_1_a", "aux_heat_stage_2_a", "aux_lockout_f",
        "crankcase_heater_warm", "line_v_running", "tesp_in_wc", "filter",
    }  # fmt: skip
    assert check_lists(HEAT_PUMP, "heating") == WINTER
    assert wanted <= asked()
    assert not asked() & {"minutes_running", "suction_psig", "return_wb_f", "cover_off"}


def test_a_mildly_flammable_one_is_asked_for_its_leak_sensor_in_winter_too():
    a2l = replace(HEAT_PUMP, refrigerant="R-454B")
    assert "leak_sensor_alarm" in asked(a2l) - asked()
    found = judge(a2l, {**HEATING, "leak_sensor_alarm": True}, lists=WINTER)
    assert [one.key for one in found.emergencies] == ["leak_sensor_alarm"]


@pytest.mark.parametrize("outdoor_f", ["-10", "17", "30", "47", "70"])
def test_cold_air_outdoors_is_not_odd_in_a_heating_check(outdoor_f):
    entry = read_entry(FIELDS["outdoor_db_f"], outdoor_f, HEAT_PUMP, {}, lists=WINTER)
    assert entry == Accepted(float(outdoor_f))


@pytest.mark.parametrize(("lists", "outdoor_f"), [(WINTER, "75"), (("cooling",), "47")])
def test_the_air_of_the_other_season_is_asked_about(lists, outdoor_f):
    assert isinstance(
        read_entry(FIELDS["outdoor_db_f"], outdoor_f, HEAT_PUMP, {}, lists=lists), Asked
    )


def test_what_is_read_in_winter_is_judged_in_winter():
    readings = {
        **HEATING, "tesp_in_wc": 0.9, "filter_drop_in_wc": 0.4, "blower_a": 6.0, "control_v": 19.0,
    }  # fmt: skip
    judgement = judge(HEAT_PUMP, readings, lists=WINTER)
    found = {key: judgement.of(key).outcome for key in NOT_IN_ORDER}
    assert found == NOT_IN_ORDER
    assert judgement.of("line_volts").outcome is Outcome.WITHIN


@pytest.mark.parametrize("key", ["conditions", "split", "subcooling", "superheat", "metering"])
def test_nothing_of_the_cooling_test_is_judged_in_winter(key):
    judgement = judge(HEAT_PUMP, HEATING, lists=WINTER)
    assert judgement.of(key) is None
    assert judgement.causes == ()


def test_both_pressures_the_wrong_way_round_are_refused():
    entry = read_entry(
        FIELDS["heating_discharge_psig"], "104", HEAT_PUMP, {"heating_suction_psig": 330.0},
        lists=WINTER,
    )  # fmt: skip
    assert isinstance(entry, Refused)
