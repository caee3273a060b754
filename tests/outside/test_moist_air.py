"""Moist air: ASHRAE's printed values, PsychroLib 2.5.0 and CoolProp's humid air as judges.

Largest differences found over 65 to 95 °F dry and 50 to 95 °F wet, at three pressures: to
PsychroLib none in W (1e-13), volume 3e-7, wet bulb 0.001 °F; to CoolProp W 0.76 % where W is over
0.004, and 0.0003 at all, volume 0.04 %.
"""

import pytest
from CoolProp.HumidAirProp import HAPropsSI

from fieldwork.readings.air import (
    SENSIBLE,
    altitude_factor,
    coil_btu_h,
    enthalpy,
    humidity_ratio,
    volume_ft3,
    wet_bulb_f,
)
from fieldwork.readings.saturation import atmosphere_psia
from tests.outside.coolprop import PA_A_PSI
from tests.outside.psychrometrics import psychrolib

PRESSURES_PSIA = (14.696, 12.228, 10.107)
STATES = [(db, wb) for db in range(65, 96, 5) for wb in range(50, db + 1, 5)]
BTU_A_LB = 2326.0  # J/kg in a Btu/lb
FT3_A_LB = 16.018463  # ft³/lb in a m³/kg


def kelvin(temperature_f):
    return (temperature_f + 459.67) / 1.8


def humid_air(output, db_f, wb_f, psia):
    return HAPropsSI(output, "T", kelvin(db_f), "B", kelvin(wb_f), "P", psia * PA_A_PSI)


@pytest.mark.parametrize(("feet", "psia"), [(1000, 14.175), (3000, 13.173), (10_000, 10.108)])
def test_the_standard_atmosphere_is_as_ashrae_prints_it(feet, psia):
    """Handbook of Fundamentals 2017, chapter 1, Table 1."""
    assert atmosphere_psia(feet) == pytest.approx(psia, abs=0.003)


def test_ashraes_first_example():
    """100 °F dry bulb, 65 °F wet bulb: W 0.00523, h 29.80, v 14.22, read off a chart."""
    ratio = humidity_ratio(100, 65)
    assert ratio == pytest.approx(0.00523, rel=0.01)
    assert enthalpy(100, ratio) == pytest.approx(29.80, abs=0.1)
    assert volume_ft3(100, ratio) == pytest.approx(14.22, abs=0.02)


def test_saturated_air_at_77_degrees():
    """The same handbook, Table 2: W 0.020173, h 40.576."""
    ratio = humidity_ratio(77, 77)
    assert ratio == pytest.approx(0.020173, rel=0.005)
    assert enthalpy(77, ratio) == pytest.approx(40.576, rel=0.01)


@pytest.mark.parametrize("psia", PRESSURES_PSIA)
def test_psychrolib_agrees_over_the_whole_range(psia):
    for db, wb in STATES:
        ratio = humidity_ratio(db, wb, psia)
        theirs = float(psychrolib.GetHumRatioFromTWetBulb(float(db), float(wb), psia))
        assert ratio == pytest.approx(max(theirs, 0.0), rel=1e-9, abs=1e-7)
        volume = float(psychrolib.GetMoistAirVolume(float(db), theirs, psia))
        assert volume_ft3(db, ratio, psia) == pytest.approx(volume, rel=1e-6)


@pytest.mark.parametrize("psia", PRESSURES_PSIA)
def test_coolprop_agrees_over_the_whole_range(psia):
    for db, wb in STATES:
        ratio = humidity_ratio(db, wb, psia)
        if ratio < 0.002:  # bone dry: a wet bulb hardly tells
            continue
        assert ratio == pytest.approx(humid_air("W", db, wb, psia), rel=0.007, abs=3e-4)
        volume = humid_air("Vda", db, wb, psia) * FT3_A_LB
        assert volume_ft3(db, ratio, psia) == pytest.approx(volume, rel=0.001)


@pytest.mark.parametrize(("psia", "expected_f"), [(14.696, 62.55), (12.228, 61.76)])
def test_half_humid_air_at_75_degrees(psia, expected_f):
    """No print: PsychroLib and CoolProp agree to 0.01 °F."""
    assert wet_bulb_f(75, 0.5, psia) == pytest.approx(expected_f, abs=0.01)
    theirs = HAPropsSI("B", "T", kelvin(75), "R", 0.5, "P", psia * PA_A_PSI) * 1.8 - 459.67
    assert wet_bulb_f(75, 0.5, psia) == pytest.approx(theirs, abs=0.02)


@pytest.mark.parametrize(
    ("before", "after"), [((80, 67), (59, 57)), ((75, 63), (56, 54)), ((78, 65), (58, 56))]
)
def test_the_heat_a_coil_takes_out_of_a_pound_of_air(before, after):
    ours = [enthalpy(db, humidity_ratio(db, wb)) for db, wb in (before, after)]
    theirs = [humid_air("Hda", db, wb, 14.696) / BTU_A_LB for db, wb in (before, after)]
    assert ours[0] - ours[1] == pytest.approx(theirs[0] - theirs[1], rel=0.005)


def test_a_mile_up_there_is_a_sixth_less_air():
    assert altitude_factor(5000) == pytest.approx(0.832, abs=0.001)
    assert altitude_factor(1000) == pytest.approx(0.964, abs=0.001)
    assert altitude_factor(7500) == pytest.approx(0.757, abs=0.001)


def test_a_coil_of_three_tons_worked_out():
    """1,200 cfm, 80/67 to 59/57 °F: 36,533 and 26,659 Btu/h by the mass that flows.

    Computed with PsychroLib. The constants of standard air say 37,947 and 27,216.
    """
    total, sensible = coil_btu_h(1200, (80, 67), (59, 57))
    assert total == pytest.approx(36_533, rel=0.001)
    assert sensible == pytest.approx(26_659, rel=0.001)
    change = enthalpy(80, humidity_ratio(80, 67)) - enthalpy(59, humidity_ratio(59, 57))
    assert 4.5 * 1200 * change == pytest.approx(37_947, abs=5)
    assert pytest.approx(27_216, abs=0.5) == SENSIBLE * 1200 * 21


def test_the_same_coil_a_mile_up_takes_out_less():
    """At 5,000 ft 34,550 Btu/h; the constants, uncorrected, say 43,330: a quarter too much."""
    total, _ = coil_btu_h(1200, (80, 67), (59, 57), 5000)
    assert total == pytest.approx(34_550, rel=0.001)
    psia = atmosphere_psia(5000)
    before, after = (enthalpy(db, humidity_ratio(db, wb, psia)) for db, wb in ((80, 67), (59, 57)))
    assert 4.5 * 1200 * (before - after) == pytest.approx(43_330, rel=0.001)
