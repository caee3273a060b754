"""The electrical verdicts, at the edges of their limits."""

from dataclasses import replace

import pytest

from fieldwork.readings import Outcome, judge
from tests.fieldwork.readings.units import VALVE, cooling

THREE_PHASE = replace(VALVE, phases=3, line_v=230.0)


@pytest.mark.parametrize(
    ("percent", "outcome"),
    [(-6.0, "within limits"), (-6.1, "act"), (6.0, "within limits"), (6.1, "act")],
)
@pytest.mark.parametrize(("side", "rated"), [("compressor", 45.0), ("fan", 5.0)])
def test_a_capacitor_is_kept_at_six_per_cent_and_not_beyond(percent, outcome, side, rated):
    readings = cooling(**{f"capacitor_{side}_uf": rated * (1 + percent / 100)})
    assert judge(VALVE, readings).of(f"capacitor_{side}").outcome == outcome


def test_a_capacitors_own_label_goes_before_the_rules():
    unit = replace(VALVE, capacitor_tolerance_percent=5.0)
    readings = cooling(capacitor_compressor_uf=45 * 0.945)
    assert judge(VALVE, readings).of("capacitor_compressor").outcome is Outcome.WITHIN
    assert judge(unit, readings).of("capacitor_compressor").outcome is Outcome.ACT


def test_a_capacitor_measured_under_load_is_judged_too():
    readings = cooling(capacitor_fan_uf=None, capacitor_fan_a=0.5, capacitor_fan_v=300.0)
    verdict = judge(VALVE, readings).of("capacitor_fan")
    assert verdict.value == pytest.approx(4.42, abs=0.01)
    assert verdict.outcome is Outcome.ACT


@pytest.mark.parametrize(
    ("volts", "percent", "outcome"),
    [((255.0, 245.0, 250.0), 2.0, "within limits"), ((255.25, 244.75, 250.0), 2.1, "act")],
)
def test_three_phases_may_differ_by_two_per_cent(volts, percent, outcome):
    names = ("line_v_running", "line_v_l2_l3", "line_v_l1_l3")
    readings = cooling(**dict(zip(names, volts, strict=True)))
    verdict = judge(THREE_PHASE, readings).of("imbalance")
    assert verdict.value == pytest.approx(percent)
    assert verdict.outcome == outcome


def test_an_imbalance_is_compared_before_it_is_rounded():
    """230, 230 and 223.1 V are 2.02 %, which a display of one decimal calls 2.0."""
    readings = cooling(line_v_running=230.0, line_v_l2_l3=230.0, line_v_l1_l3=223.1)
    verdict = judge(THREE_PHASE, readings).of("imbalance")
    assert 2.0 < verdict.value < 2.05
    assert verdict.outcome is Outcome.ACT


def test_a_single_phase_unit_has_no_imbalance():
    assert judge(VALVE, cooling()).of("imbalance") is None


@pytest.mark.parametrize(
    ("amps", "outcome"), [(16.0, "within limits"), (17.6, "watch"), (17.7, "act")]
)
def test_amps_are_judged_by_the_nameplate(amps, outcome):
    assert judge(VALVE, cooling(compressor_a=amps)).of("compressor_amps").outcome == outcome


@pytest.mark.parametrize(
    ("volts", "outcome"),
    [(187.0, "act"), (187.2, "within limits"), (253.0, "within limits"), (253.1, "act")],
)
def test_a_double_rating_allows_ten_per_cent_about_both(volts, outcome):
    assert judge(VALVE, cooling(line_v_running=volts)).of("line_volts").outcome == outcome


@pytest.mark.parametrize(("drop_v", "outcome"), [(6.24, "within limits"), (6.25, "act")])
def test_a_contactor_may_drop_three_per_cent(drop_v, outcome):
    readings = cooling(line_v_running=208.0, contactor_drop_l2_v=drop_v)
    assert judge(VALVE, readings).of("contactor_drop").outcome == outcome


@pytest.mark.parametrize(("volts", "outcome"), [(21.9, "watch"), (24.0, "within limits")])
def test_control_voltage_is_watched(volts, outcome):
    assert judge(VALVE, cooling(control_v=volts)).of("control_volts").outcome == outcome


@pytest.mark.parametrize(("amps", "outcome"), [(30.0, "within limits"), (40.0, "act")])
def test_a_breaker_may_not_be_larger_than_the_plate_allows(amps, outcome):
    assert judge(VALVE, cooling(breaker_a=amps)).of("breaker").outcome == outcome


def test_an_advice_to_touch_says_first_to_switch_off():
    for name in ("capacitor_fan_uf", "compressor_a", "contactor_drop_l1_v"):
        bad = {"capacitor_fan_uf": 4.0, "compressor_a": 30.0, "contactor_drop_l1_v": 20.0}[name]
        acted = [v for v in judge(VALVE, cooling(**{name: bad})).verdicts if v.outcome == "act"]
        assert "De-energise" in acted[0].sentence


@pytest.mark.parametrize(
    ("name", "attribute"),
    [("compressor_a", "compressor_rla_a"), ("line_v_running", "line_v"),
     ("breaker_a", "most_breaker_a"), ("capacitor_fan_uf", "capacitor_fan_uf")],
)  # fmt: skip
def test_a_rating_that_is_not_on_file_is_named(name, attribute):
    readings = cooling(**{name: {"breaker_a": 30.0}.get(name, cooling().get(name))})
    unit = replace(VALVE, **{attribute: None})
    assert attribute in judge(unit, readings).not_on_file
