"""Published examples as whole visits: the readings go in, the verdict must be the source's.

The readings that a source leaves out are those of a healthy check (tests/fieldwork/readings/units).
"""

from dataclasses import replace

import pytest

from fieldwork.readings import Equipment, Outcome, judge
from tests.fieldwork.readings.units import FIXED, FURNACE, VALVE, cooling, heating

PASSES, FAILS = Outcome.WITHIN, Outcome.ACT
PHASES = ("line_v_running", "line_v_l2_l3", "line_v_l1_l3")


@pytest.mark.parametrize(
    ("volts", "line_v", "percent", "outcome"),
    [
        ((452, 464, 455), 460, 1.53, PASSES),  # Carrier 50JZ
        ((221, 230, 227), 230, 2.2, FAILS),  # Trane CXRC
        ((224, 231, 226), 230, 1.76, PASSES),  # Carrier 50TCQ
        ((393, 403, 396), 400, 1.43, PASSES),  # Carrier 40RU
        ((220, 216, 213), 208, 1.695, PASSES),  # Daikin DTC p. 10, there rounded to 1.8
    ],
)
def test_three_phases_as_their_makers_judge_them(volts, line_v, percent, outcome):
    unit = replace(VALVE, phases=3, line_v=float(line_v), line_v_lower=None)
    readings = cooling(unit, **{n: float(v) for n, v in zip(PHASES, volts, strict=True)})
    verdict = judge(unit, readings).of("imbalance")
    assert verdict.outcome is outcome
    assert verdict.value == pytest.approx(percent, abs=0.015)


def test_a_dual_capacitor_of_which_one_side_is_replaced():
    """Trade training text, label 40/5 ± 5 %: 39 is kept, 4.4 is replaced."""
    unit = replace(
        FIXED, capacitor_compressor_uf=40.0, capacitor_fan_uf=5.0, capacitor_tolerance_percent=5.0
    )
    judgement = judge(unit, cooling(unit, capacitor_compressor_uf=39.0, capacitor_fan_uf=4.4))
    assert judgement.of("capacitor_compressor").outcome is PASSES
    assert judgement.of("capacitor_fan").outcome is FAILS


def test_the_same_side_measured_under_load():
    """hvacrschool, 2652 A / V: 4.4 µF at 370 V draw 0.614 A."""
    unit = replace(FIXED, capacitor_fan_uf=5.0, capacitor_tolerance_percent=5.0)
    readings = cooling(
        unit, capacitor_fan_uf=None, capacitor_fan_a=2652**-1 * 4.4 * 370, capacitor_fan_v=370.0
    )
    verdict = judge(unit, readings).of("capacitor_fan")
    assert verdict.value == pytest.approx(4.4, abs=0.005)
    assert verdict.outcome is FAILS


@pytest.mark.parametrize(("drop_v", "outcome"), [(6.24, PASSES), (20.0, FAILS)])
def test_a_contactor_on_208_volts(drop_v, outcome):
    """RSES service text: 3 % of 208 V is 6.24 V; one that drops 20 V is replaced."""
    readings = cooling(FIXED, line_v_running=208.0, contactor_drop_l1_v=drop_v)
    assert judge(FIXED, readings).of("contactor_drop").outcome is outcome


@pytest.mark.parametrize(
    ("co_ppm", "oxygen", "air_free", "outcome"),
    [
        (87.0, 5.0, 114.4, Outcome.WATCH),  # hvacrschool
        (50.0, 7.0, 75.2, PASSES),  # hvactoday.com/?p=1030
        (1200.0, 6.0, 1683.0, FAILS),  # the same
    ],
)
def test_carbon_monoxide_air_free(co_ppm, oxygen, air_free, outcome):
    """Limits: Haier/GE NF80 100 ppm, ANSI Z21.47 400 ppm, both air-free."""
    judgement = judge(FURNACE, heating(flue_co_ppm=co_ppm, flue_o2_percent=oxygen))
    assert judgement.of("flue_co").value == pytest.approx(air_free, rel=0.001)
    assert judgement.of("flue_co").outcome is outcome
    assert bool(judgement.emergencies) == (outcome is FAILS)


@pytest.mark.parametrize(
    ("dial", "seconds", "btu_h"), [("0.5", 22.0, 81_818), ("1", 45.0, 80_000), ("1", 28.0, 128_571)]
)
def test_the_gas_clock_at_1000_btu(dial, seconds, btu_h):
    """hvacrschool; Bell's table: 45 s are 80 ft³/h, 28 s are 129."""
    unit = replace(FURNACE, gas_input_btu_h=80_000.0)
    readings = heating(meter_dial_ft3=dial, meter_seconds=seconds, gas_btu_per_ft3=1000.0)
    verdict = judge(unit, readings).of("gas_input")
    assert verdict.value == pytest.approx(btu_h, abs=1)
    assert verdict.outcome is (PASSES if btu_h <= 84_000 else FAILS)  # York D3CG: ± 5 %


@pytest.mark.parametrize(
    ("refrigerant", "psig", "line_f", "superheat_f", "within_f"),
    [
        ("R-410A", 81.0, 36.0, 15.0, 0.6),  # Bryant BC53D p. 28
        ("R-22", 70.0, 51.0, 10.0, 0.25),  # Carrier 38VTA Table 5
    ],
)
def test_superheat_as_its_maker_prints_it(refrigerant, psig, line_f, superheat_f, within_f):
    unit = replace(VALVE, refrigerant=refrigerant)
    readings = cooling(unit, suction_psig=psig, suction_line_f=line_f)
    verdict = judge(unit, readings).of("metering")
    assert verdict.value == pytest.approx(superheat_f, abs=within_f)
    assert verdict.outcome is PASSES


def test_subcooling_as_its_maker_prints_it():
    """Carrier 024-048 Table 7: R-410A, 318 psig, 90 °F on the line are 10 °F."""
    verdict = judge(VALVE, cooling(liquid_psig=318.0, liquid_line_f=90.0)).of("subcooling")
    assert verdict.value == pytest.approx(10.0, abs=0.3)
    assert verdict.outcome is PASSES


@pytest.mark.parametrize(
    ("outdoor_f", "wet_f", "target_f"), [(90.0, 66.0, 13.0), (100.0, 62.0, None)]
)
def test_the_target_superheat_of_the_trade_school(outdoor_f, wet_f, target_f):
    """acservicetech.com: 13 °F by the chart; 100/62 is too low to be tested."""
    readings = cooling(
        FIXED, outdoor_db_f=outdoor_f, return_wb_f=wet_f, liquid_psig=365.0, airflow_cfm=1100.0
    )
    assert judge(FIXED, readings).of("superheat").target == target_f


def test_tranes_unit_at_82_degrees_is_healthy():
    """Trane A5PA3030, 900 cfm, 67 °F wet bulb: 298 and 132 psig, 13.4 °F over the outdoor air."""
    unit = Equipment("package", refrigerant="R-410A", metering="txv", tons=2.5)
    readings = {
        "outdoor_db_f": 82.0, "minutes_running": 20.0, "return_db_f": 80.0, "return_wb_f": 67.0,
        "suction_psig": 132.0, "liquid_psig": 298.0, "airflow_cfm": 900.0,
    }  # fmt: skip
    judgement = judge(unit, readings)
    assert judgement.of("airflow").outcome is PASSES
    assert (judgement.causes, judgement.contradictions) == ((), ())


@pytest.mark.parametrize(("in_wc", "outcome"), [(0.5, PASSES), (0.7, Outcome.WATCH), (0.71, FAILS)])
def test_static_pressure_beyond_what_the_maker_lets_pass(in_wc, outcome):
    """Carrier 58UHV: check the ducts above 0.70 in WC; plates are rated at 0.5 to 0.7."""
    assert judge(VALVE, cooling(tesp_in_wc=in_wc)).of("tesp").outcome is outcome


@pytest.mark.parametrize(
    ("microamps", "outcome"),
    [(1.5, PASSES), (1.4, Outcome.WATCH), (0.5, Outcome.WATCH), (0.4, FAILS)],
)
def test_flame_current_as_lennox_grades_it(microamps, outcome):
    """Lennox ML180: 1.5 and more normal, 0.5 to 1.4 low, 0.4 drops out."""
    assert judge(FURNACE, heating(flame_ua=microamps)).of("flame").outcome is outcome


@pytest.mark.parametrize(
    ("gas", "manifold", "inlet", "outcome"),
    [("natural_gas", 3.5, 4.5, PASSES), ("natural_gas", 3.5, 10.1, FAILS),
     ("propane", 10.0, 11.0, PASSES), ("propane", 10.0, 13.1, FAILS)],
)  # fmt: skip
def test_gas_pressures_as_a_maker_prints_them(gas, manifold, inlet, outcome):
    """Haier/GE NF80 Table 17: natural 3.5, inlet 4.5 to 10; propane 10, inlet 11 to 13 in WC."""
    readings = heating(gas_type=gas, gas_manifold_in_wc=manifold, gas_inlet_in_wc=inlet)
    judgement = judge(replace(FURNACE, fuel=gas), readings)
    assert judgement.of("manifold").outcome is PASSES
    assert judgement.of("gas_inlet").outcome is outcome
