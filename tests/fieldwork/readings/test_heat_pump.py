"""A heat pump's heating mode."""

import pytest

from fieldwork.readings import Outcome, judge
from tests.fieldwork.readings.units import HEAT_PUMP

HEATING = {
    "outdoor_db_f": 38.0, "heating_return_f": 68.0, "heating_supply_f": 94.0,
    "heating_suction_psig": 95.0, "heating_discharge_psig": 330.0, "aux_heat_stage_2_a": 41.0,
    "line_v_running": 234.0, "defrost_starts": True, "defrost_ends": True,
    "reversing_valve_both_ways": True, "crankcase_heater_warm": True,
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
