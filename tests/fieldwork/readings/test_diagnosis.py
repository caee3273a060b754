"""Likely causes: what each of the eight rules needs, and when none may speak."""

from dataclasses import replace
from datetime import date

import pytest

from fieldwork.readings import EarlierVisit, MakerPressures, judge
from fieldwork.readings.saturation import saturation_psig
from tests.fieldwork.readings.units import (
    FIXED,
    VALVE,
    cooling,
    split_off_by,
    subcooling_of,
    superheat_of,
)

FIXED_WITH_TARGET = replace(FIXED, target_subcooling_f=10.0)
CHART = (MakerPressures(60.0, 62.0, 131.0, 250.0), MakerPressures(100.0, 62.0, 131.0, 390.0))


def rules_of(unit, **changed):
    return {cause.rule for cause in judge(unit, cooling(unit, **changed)).causes}


def low_suction():
    """Evaporator at 36 °F instead of 45, superheat kept apart."""
    return {"suction_psig": saturation_psig("R-410A", "dew", 36.0)}


def hot_condenser(subcooling_f):
    """Condenser 34 °F over the outdoor air."""
    return {
        "liquid_psig": saturation_psig("R-410A", "bubble", 114.0),
        "liquid_line_f": 114.0 - subcooling_f,
    }


def test_a_healthy_unit_has_no_causes():
    assert judge(VALVE, cooling()).causes == ()
    assert judge(FIXED, cooling(FIXED)).causes == ()


def test_rule_1_low_airflow():
    found = judge(FIXED, cooling(FIXED, **split_off_by(5), **superheat_of(4)))
    assert [cause.rule for cause in found.causes] == [1]
    assert found.causes[0].confidence == "medium"  # the suction is not known to be low
    assert "filter" in found.causes[0].to_check


def test_rule_1_is_surer_with_the_makers_chart():
    unit = replace(FIXED, maker_pressures=CHART)
    changed = {**split_off_by(5), **low_suction(), "suction_line_f": 40.0}
    causes = judge(unit, cooling(unit, **changed)).causes
    assert [(cause.rule, cause.confidence) for cause in causes] == [(1, "high")]


def test_rule_2_fixed_undercharge():
    changed = {**superheat_of(24), **subcooling_of(3)}
    cause = judge(FIXED_WITH_TARGET, cooling(FIXED, **changed)).causes[0]
    assert (cause.rule, cause.confidence) == (2, "high")
    assert any("superheat high" in sign for sign in cause.signs)


def test_rule_2_behind_a_valve_is_less_sure():
    cause = judge(VALVE, cooling(**subcooling_of(3))).causes[0]
    assert (cause.rule, cause.confidence) == (2, "medium")


def test_rule_3_restriction():
    assert rules_of(FIXED_WITH_TARGET, **superheat_of(24), **subcooling_of(16)) == {3}


def test_rule_4_dirty_condenser_is_surer_when_it_was_seen():
    changed = hot_condenser(subcooling_f=10)
    unsure = judge(VALVE, cooling(**changed)).causes[0]
    seen = judge(VALVE, cooling(**changed, outdoor_coil="fail")).causes[0]
    assert (unsure.rule, unsure.confidence) == (4, "medium")
    assert (seen.rule, seen.confidence) == (4, "high")


def test_rule_5_overcharge():
    assert rules_of(VALVE, **hot_condenser(subcooling_f=18)) == {5}
    assert rules_of(FIXED_WITH_TARGET, **hot_condenser(18), **superheat_of(4)) == {5}


def test_rule_6_weak_valves_needs_the_makers_chart_or_the_units_past():
    changed = {
        **split_off_by(-6), "suction_psig": 150.0, "liquid_psig": 290.0, "compressor_a": 7.0,
        "suction_line_f": 62.0,
    }  # fmt: skip
    assert 6 in rules_of(replace(VALVE, maker_pressures=CHART), **changed)
    assert 6 not in rules_of(VALVE, **changed)


def test_rule_7_overfeeding_valve():
    assert rules_of(VALVE, **superheat_of(2)) == {7}


def test_rule_8_high_airflow():
    assert rules_of(VALVE, **split_off_by(-5)) == {8}


def test_a_fixed_orifice_without_a_target_shows_what_the_usual_subcooling_leaves_open():
    cause = judge(FIXED, cooling(FIXED, **superheat_of(24), **subcooling_of(2))).causes[0]
    assert (cause.rule, cause.confidence) == (2, "medium")


@pytest.mark.parametrize("changed", [{"outdoor_db_f": 50.0}, {"minutes_running": 5.0}])
def test_rule_0_no_causes_when_the_conditions_are_not_met(changed):
    assert rules_of(VALVE, **subcooling_of(2), **changed) == set()


def test_rule_0_an_inverter_has_no_causes():
    assert rules_of(replace(VALVE, inverter=True), **subcooling_of(2)) == set()


def test_every_cause_says_what_voted_and_from_which_readings():
    for cause in judge(VALVE, cooling(**subcooling_of(3), **split_off_by(-5))).causes:
        assert cause.signs
        assert cause.used
        assert cause.to_check


def test_the_units_own_past_tells_a_low_suction_where_no_chart_does():
    """Evaporator 40 °F under the return air where it was 31 last spring."""
    past = [EarlierVisit(date(2026, 5, 10), cooling(FIXED))]
    now = cooling(FIXED, **low_suction(), suction_line_f=40.0, **split_off_by(5))
    cause = judge(FIXED, now, past).causes[0]
    assert (cause.rule, cause.confidence) == (1, "high")
    assert any("earlier visits" in sign for sign in cause.signs)
