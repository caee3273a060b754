"""The gate of a cooling test: every limit at its edge, to the tenth."""

from dataclasses import replace

import pytest

from fieldwork.readings import DEFAULT_LIMITS, Outcome, judge
from tests.fieldwork.readings.units import FIXED, HEAT_PUMP, VALVE, cooling


def charge_of(judgement):
    return judgement.of("subcooling") or judgement.of("superheat")


@pytest.mark.parametrize(
    ("outdoor_f", "test"),
    [(54.9, "owed"), (55.0, "provisional"), (64.9, "provisional"), (65.0, "warm"), (80.0, "warm")],
)
def test_the_test_is_owed_provisional_or_warm_by_the_outdoor_air(outdoor_f, test):
    judgement = judge(VALVE, cooling(outdoor_db_f=outdoor_f))
    assert judgement.test == test
    assert charge_of(judgement).judged == (test != "owed")


def test_when_it_is_too_cold_only_looking_and_electricity_are_judged():
    judgement = judge(VALVE, cooling(outdoor_db_f=48.0))
    judged = {verdict.group for verdict in judgement.verdicts if verdict.judged}
    assert judged == {"B", "E", "F"}
    assert {v.key for v in judgement.verdicts if v.group == "B" and v.judged} == {"tesp"}
    assert judgement.causes == ()
    assert "48.0" in judgement.of("conditions").sentence


@pytest.mark.parametrize(("minutes", "is_open"), [(14.9, False), (15.0, True)])
def test_it_must_have_run_for_a_quarter_of_an_hour(minutes, is_open):
    assert judge(VALVE, cooling(minutes_running=minutes)).gate.is_open == is_open


@pytest.mark.parametrize(
    ("return_f", "is_open"), [(69.9, False), (70.0, True), (80.0, True), (80.1, False)]
)
def test_the_house_must_be_in_its_range(return_f, is_open):
    judgement = judge(VALVE, cooling(return_db_f=return_f, return_wb_f=60.0, supply_db_f=55.0))
    assert judgement.gate.is_open == is_open


@pytest.mark.parametrize("name", ["outdoor_db_f", "minutes_running", "return_db_f"])
def test_without_a_condition_nothing_is_judged_and_it_is_named(name):
    judgement = judge(VALVE, cooling(**{name: None}))
    assert not judgement.gate.is_open
    assert judgement.test == "owed"
    assert name in judgement.missing


def test_a_units_own_test_temperature_goes_before_the_rules():
    readings = cooling(outdoor_db_f=58.0)
    assert judge(replace(VALVE, least_test_f=60.0), readings).test == "owed"
    assert judge(replace(VALVE, least_test_f=50.0, preferred_test_f=57.0), readings).test == "warm"


def test_the_branchs_own_test_temperature_changes_the_version_of_the_rules():
    own = DEFAULT_LIMITS.with_own(least_test_f=60.0)
    judgement = judge(VALVE, cooling(outdoor_db_f=58.0), rules=own)
    assert judgement.test == "owed"
    assert judgement.rules_version == own.version != DEFAULT_LIMITS.version


def test_a_preferred_temperature_below_the_least_means_the_least():
    unit = replace(VALVE, least_test_f=70.0)
    assert judge(unit, cooling(outdoor_db_f=70.0)).test == "warm"


def test_only_performance_is_provisional_in_the_cool_band():
    judgement = judge(VALVE, cooling(outdoor_db_f=60.0, airflow_cfm=1200.0, supply_wb_f=52.0))
    assert judgement.of("capacity").provisional
    assert not judgement.of("subcooling").provisional


def test_a_heating_check_leaves_the_cooling_test_owed():
    readings = {"outdoor_db_f": 40.0, "heating_return_f": 68.0, "heating_supply_f": 95.0}
    judgement = judge(HEAT_PUMP, readings)
    assert judgement.test == "owed"
    assert judgement.of("conditions") is None
    assert judgement.of("heating_rise").outcome is Outcome.WITHIN


def test_a_test_of_which_the_airflow_fails_stays_owed():
    judgement = judge(FIXED, cooling(airflow_cfm=800.0))
    assert judgement.of("airflow").outcome is Outcome.ACT
    assert judgement.test == "owed"


def test_on_a_cold_day_nobody_is_sent_to_the_gauges():
    readings = cooling(outdoor_db_f=48.0, suction_psig=None, liquid_psig=None, supply_db_f=None)
    assert judge(VALVE, readings).missing == ()
