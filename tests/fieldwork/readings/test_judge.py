"""The judgement as a whole: nothing impossible is judged, every outcome can be reached."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldwork.readings import FIELDS, Equipment, Outcome, contradictions, judge
from tests.fieldwork.readings.units import (
    FIXED,
    FURNACE,
    HEAT_PUMP,
    PACKAGE,
    VALVE,
    cooling,
    heating,
    superheat_of,
)

UNITS = [FIXED, VALVE, FURNACE, HEAT_PUMP, PACKAGE, replace(VALVE, inverter=True),
         replace(VALVE, elevation_ft=10_000.0), Equipment("air_handler"),
         Equipment("air_conditioner")]  # fmt: skip


def any_value(field):
    if field.kind == "number":
        return st.floats(-1e4, 1e4)
    if field.kind == "yes_no":
        return st.booleans()
    return st.sampled_from([stored for stored, _ in field.choices])


any_readings = st.fixed_dictionaries(
    {}, optional={name: any_value(field) for name, field in FIELDS.items()}
)


@settings(max_examples=60)
@given(st.sampled_from(UNITS), any_readings)
def test_no_readings_whatever_break_it_and_what_cannot_be_is_never_judged(unit, readings):
    judgement = judge(unit, readings)
    wrong = {name for found in judgement.contradictions for name in found.fields}
    for verdict in judgement.verdicts:
        assert verdict.sentence
        if verdict.judged:
            assert set(verdict.used) - wrong
            assert verdict.limit_source
        else:
            assert verdict.value is None
    assert not set(judgement.missing) & wrong


@settings(max_examples=40)
@given(st.floats(0, 10_000), st.floats(-4.9, 4.9))
def test_the_superheat_is_right_at_any_elevation(feet, off_f):
    unit = replace(FIXED, elevation_ft=feet)
    verdict = judge(unit, cooling(unit, **superheat_of(12.0 + off_f))).of("superheat")
    assert verdict.outcome is Outcome.WITHIN
    assert verdict.value == pytest.approx(12.0 + off_f, abs=1e-6)


@pytest.mark.parametrize(
    ("changed", "names"),
    [
        ({"return_wb_f": 80.0}, {"return_wb_f", "return_db_f"}),
        ({"liquid_psig": 120.0}, {"liquid_psig", "suction_psig"}),
        ({"capacitor_compressor_uf": 0.045}, {"capacitor_compressor_uf"}),
        ({"suction_psig": float("nan")}, {"suction_psig"}),
        ({"refrigerant_on_plate": "R-22"}, {"refrigerant_on_plate", "suction_psig", "liquid_psig"}),
    ],
)
def test_deliberate_errors_are_reported_and_not_judged(changed, names):
    judgement = judge(VALVE, cooling(**changed))
    assert names <= {name for found in judgement.contradictions for name in found.fields}
    for verdict in judgement.verdicts:
        assert not (verdict.judged and names & set(verdict.used)), verdict.key


def test_a_name_that_is_no_field_is_an_error_of_the_caller():
    with pytest.raises(ValueError, match="no field suction_bar"):
        judge(VALVE, {"suction_bar": 8.0})


def outcomes_by_key():
    """Every verdict of a healthy, a watched, a bad and a blank visit of each equipment."""
    changes = [
        {}, {"minutes_running": 3.0}, {"outdoor_db_f": 60.0}, {"tesp_in_wc": 0.6},
        {"tesp_in_wc": 1.0}, {"drain": "attention"}, {"drain": "fail"}, {"clearance_in": 20.0},
        {"clearance_in": 5.0}, {"compressor_a": 17.0}, {"compressor_a": 30.0},
        {"suction_line_f": 46.0}, {"liquid_line_f": 99.0}, {"supply_db_f": 64.0},
    ]  # fmt: skip
    for unit in (FIXED, VALVE):
        for changed in changes:
            yield from judge(unit, cooling(unit, **changed)).verdicts
    yield from judge(FURNACE, heating()).verdicts
    yield from judge(FURNACE, heating(flame_ua=1.0, flue_co_ppm=90.0)).verdicts


def test_every_outcome_is_reached_in_every_group():
    found = {(verdict.group, verdict.outcome) for verdict in outcomes_by_key()}
    for group in "BCDEF":
        assert (group, Outcome.WITHIN) in found
        assert (group, Outcome.ACT) in found
    for group in "BEF":
        assert (group, Outcome.WATCH) in found
    assert {("A", Outcome.CANNOT_JUDGE), ("C", Outcome.CANNOT_JUDGE)} <= found


def test_every_judged_verdict_says_it_in_words_and_names_its_source():
    for verdict in outcomes_by_key():
        assert verdict.sentence
        if verdict.judged:
            assert verdict.limit_source, verdict.key
            assert verdict.outcome is Outcome.WITHIN or verdict.plain, verdict.key


def test_the_customers_words_hold_no_jargon():
    jargon = {"superheat", "subcooling", "psig", "tesp", "txv", "split", "manifold"}
    for verdict in outcomes_by_key():
        assert not jargon & set(re.findall(r"[a-z]+", verdict.plain.lower())), verdict.plain


def test_a_blank_visit_lists_what_is_missing_and_owes_its_test():
    judgement = judge(VALVE, {})
    assert judgement.test == "owed"
    assert judgement.worst is Outcome.CANNOT_JUDGE
    assert {
        "outdoor_db_f", "supply_db_f", "suction_psig", "liquid_line_f", "compressor_a", "drain",
    } <= set(judgement.missing)  # fmt: skip


def test_nothing_is_missing_after_a_whole_visit():
    assert judge(VALVE, cooling()).missing == ()
    assert judge(VALVE, cooling()).not_on_file == ()


def test_the_worst_of_a_visit_is_told():
    assert judge(VALVE, cooling()).worst is Outcome.WITHIN
    assert judge(VALVE, cooling(drain="attention")).worst is Outcome.WATCH
    assert judge(VALVE, cooling(drain="attention", filter="fail")).worst is Outcome.ACT


def test_contradictions_may_be_asked_for_alone():
    assert contradictions(VALVE, {"return_db_f": 70.0, "return_wb_f": 71.0})[0].refuses
