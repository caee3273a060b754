"""The charge: by superheat or subcooling, at the edges of the limits, and when not at all."""

from dataclasses import replace

import pytest

from fieldwork.readings import DEFAULT_LIMITS, MakerPressures, Outcome, judge
from fieldwork.readings.judged.charge import SUPERHEAT
from fieldwork.readings.maker_chart import normal_pressures
from tests.fieldwork.readings.units import (
    FIXED,
    PACKAGE,
    TARGET_SUPERHEAT_F,
    VALVE,
    cooling,
    subcooling_of,
    superheat_of,
)

CHART = (MakerPressures(70.0, 62.0, 130.0, 300.0), MakerPressures(90.0, 62.0, 134.0, 360.0))


@pytest.mark.parametrize(
    ("off_f", "outcome"),
    [(0.0, "within limits"), (5.0, "within limits"), (-5.0, "within limits"), (5.1, "act"),
     (-5.1, "act")],
)  # fmt: skip
def test_a_fixed_orifice_is_judged_by_superheat(off_f, outcome):
    judgement = judge(FIXED, cooling(FIXED, **superheat_of(TARGET_SUPERHEAT_F + off_f)))
    verdict = judgement.of("superheat")
    assert (verdict.group, verdict.outcome) == ("C", outcome)
    assert verdict.target == pytest.approx(TARGET_SUPERHEAT_F)
    assert judgement.of("subcooling") is None


@pytest.mark.parametrize(
    ("off_f", "outcome"),
    [(3.0, "within limits"), (-3.0, "within limits"), (3.1, "act"), (-3.1, "act")],
)
def test_a_valve_is_judged_by_subcooling(off_f, outcome):
    judgement = judge(VALVE, cooling(**subcooling_of(10.0 + off_f)))
    assert judgement.of("subcooling").outcome == outcome
    assert judgement.of("superheat") is None


@pytest.mark.parametrize(
    ("superheat_f", "outcome"),
    [(3.9, "act"), (4.0, "within limits"), (25.0, "within limits"), (25.1, "act")],
)
def test_a_valve_itself_is_judged_by_its_superheat(superheat_f, outcome):
    judgement = judge(VALVE, cooling(**superheat_of(superheat_f)))
    assert (judgement.of("metering").group, judgement.of("metering").outcome) == ("D", outcome)


def test_a_makers_own_figures_go_before_the_rules():
    unit = replace(VALVE, subcooling_tolerance_f=1.0, least_superheat_f=7.0, most_superheat_f=9.0)
    judgement = judge(unit, cooling(**subcooling_of(11.5), **superheat_of(10.0)))
    assert judgement.of("subcooling").outcome is Outcome.ACT
    assert judgement.of("metering").outcome is Outcome.ACT
    assert judgement.of("metering").limit_source == "the maker"


def test_near_a_limit_it_is_called_borderline_and_the_outcome_stays():
    far, near, over = (
        judge(FIXED, cooling(FIXED, **superheat_of(TARGET_SUPERHEAT_F + off))).of("superheat")
        for off in (0.0, 4.0, 6.0)
    )
    assert (far.borderline, near.borderline, over.borderline) == (False, True, True)
    assert (near.outcome, over.outcome) == (Outcome.WITHIN, Outcome.ACT)
    assert "measure once more" in over.sentence


@pytest.mark.parametrize(("wet_f", "judged"), [(57.9, False), (58.0, True)])
def test_a_target_under_five_degrees_is_no_test(wet_f, judged):
    """At 80 °F outdoors the chart has 5 °F at a wet bulb of 58, and a dash beside it."""
    judgement = judge(FIXED, cooling(FIXED, return_wb_f=wet_f, airflow_cfm=1100.0))
    assert judgement.of("superheat").judged == judged
    assert judgement.test == ("warm" if judged else "owed")


@pytest.mark.parametrize(("least_f", "judged"), [(4.9, True), (5.0, True), (5.1, False)])
def test_the_least_target_is_compared_exactly(least_f, judged):
    rules = DEFAULT_LIMITS.with_own(least_target_superheat_f=least_f)
    readings = cooling(FIXED, return_wb_f=58.0, airflow_cfm=1100.0)
    assert judge(FIXED, readings, rules=rules).of("superheat").judged == judged


def test_a_hundred_degrees_and_dry_says_so_instead_of_failing():
    verdict = judge(
        FIXED, cooling(FIXED, outdoor_db_f=100.0, liquid_psig=400.0, airflow_cfm=1100.0)
    ).of("superheat")
    assert verdict.outcome is Outcome.CANNOT_JUDGE
    assert "no test is valid" in verdict.sentence


@pytest.mark.parametrize(
    ("attribute", "value"),
    [("metering", None), ("refrigerant", None), ("target_subcooling_f", None)],
)
def test_what_is_not_on_file_is_named(attribute, value):
    judgement = judge(replace(VALVE, **{attribute: value}), cooling())
    assert attribute in judgement.not_on_file
    assert judgement.test == "owed"


@pytest.mark.parametrize("name", ["suction_psig", "suction_line_f", "liquid_psig", "liquid_line_f"])
def test_what_was_not_read_is_named(name):
    judgement = judge(VALVE, cooling(**{name: None}))
    assert name in judgement.missing
    assert judgement.test == "owed"


def test_airflow_comes_first():
    judgement = judge(VALVE, cooling(supply_db_f=None))
    assert "Airflow first" in judgement.of("subcooling").sentence
    assert judgement.test == "owed"


def test_measured_airflow_opens_the_charge_though_the_split_is_high():
    readings = cooling(supply_db_f=50.0)
    assert not judge(VALVE, readings).of("subcooling").judged
    assert judge(VALVE, {**readings, "airflow_cfm": 900.0}).of("subcooling").judged


def test_an_inverters_gauges_tell_nothing_and_owe_nothing():
    judgement = judge(replace(VALVE, inverter=True), cooling())
    assert not judgement.of("charge").applies
    assert "by weight" in judgement.of("charge").sentence
    assert judgement.causes == ()
    assert judgement.test == "warm"


def test_a_packaged_unit_without_its_makers_table_is_not_judged():
    judgement = judge(PACKAGE, cooling(PACKAGE))
    assert not judgement.of("superheat").applies
    assert judgement.test == "warm"


def test_a_packaged_unit_is_judged_by_its_makers_subcooling():
    unit = replace(PACKAGE, metering="txv", target_subcooling_f=10.0)
    assert judge(unit, cooling()).of("subcooling").outcome is Outcome.WITHIN


@pytest.mark.parametrize(("psi", "outcome"), [(3.0, "within limits"), (3.1, "watch")])
def test_a_makers_chart_of_pressures_allows_three_psi(psi, outcome):
    unit = replace(PACKAGE, maker_pressures=CHART)
    readings = cooling(PACKAGE, suction_psig=132.0 + psi, liquid_psig=330.0)
    assert judge(unit, readings).of("suction_pressure").outcome == outcome


def test_a_home_a_mile_up_is_judged_by_its_own_air():
    high = replace(FIXED, elevation_ft=5280.0)
    verdict = judge(high, cooling(high)).of("superheat")
    assert verdict.value == pytest.approx(TARGET_SUPERHEAT_F, abs=1e-6)
    at_sea = judge(FIXED, cooling(high)).of("superheat")
    assert verdict.value - at_sea.value == pytest.approx(1.2, abs=0.2)


def test_every_verdict_on_charge_says_where_its_limit_is_from():
    assert "Lennox" in judge(FIXED, cooling(FIXED)).of("superheat").limit_source
    assert "RA3" in judge(VALVE, cooling()).of("subcooling").limit_source
    assert "never vent" in SUPERHEAT.below


@pytest.mark.parametrize(
    ("outdoor_f", "wet_f", "suction"),
    [(70.0, 62.0, 130.0), (80.0, 63.0, 132.0), (90.0, 60.0, 134.0), (95.0, 62.0, None),
     (80.0, 65.0, None), (None, 62.0, None)],
)  # fmt: skip
def test_a_makers_chart_is_read_between_its_rows_and_not_beyond(outdoor_f, wet_f, suction):
    normal = normal_pressures(CHART, outdoor_f, wet_f)
    assert (normal.suction_psig if normal else None) == suction


def test_beyond_the_makers_chart_or_without_gauges_there_is_no_verdict():
    unit = replace(PACKAGE, maker_pressures=CHART)
    beyond = judge(unit, cooling(PACKAGE, outdoor_db_f=95.0, liquid_psig=390.0))
    assert "Outside the maker's chart" in beyond.of("suction_pressure").sentence
    unread = judge(unit, cooling(PACKAGE, suction_psig=None))
    assert unread.of("suction_pressure").missing == ("suction_psig",)


@pytest.mark.parametrize("name", ["suction_psig", "return_wb_f"])
def test_a_superheat_waits_for_its_readings(name):
    judgement = judge(FIXED, cooling(FIXED, airflow_cfm=1100.0, **{name: None}))
    assert not judgement.of("superheat").judged
    assert name in judgement.missing


def test_a_wet_bulb_off_the_chart_is_no_valid_test():
    readings = cooling(FIXED, return_wb_f=48.0, airflow_cfm=1100.0)
    assert "outside the superheat chart" in judge(FIXED, readings).of("superheat").sentence
