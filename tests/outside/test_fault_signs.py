"""The rules' signs against the published ones, and 72 healthy points that must raise no fault.

Rossi & Braun 1997 as reprinted in the Purdue study "FDD for Rooftop Air Conditioners", Table 1-1:
evaporator temperature, superheat, condenser temperature, subcooling, discharge temperature,
condenser air rise, evaporator air drop. Lennox LRP14AC p. 23 Table 10: six models, twelve outdoor
temperatures.
"""

import pytest

from fieldwork.readings import Equipment, MakerPressures, judge
from fieldwork.readings.diagnosis import RULES
from tests.outside.published import CHARTS

COLUMNS = ("suction", "superheat", "condenser", "subcooling", "discharge", "condenser_air", "split")
PUBLISHED = {
    "refrigerant leak": "-+--+--",
    "compressor valve leak": "+------",
    "liquid-line restriction": "-+-++--",
    "condenser fouling": "+-+-++-",
    "evaporator fouling": "------+",
}
RULE_OF = {
    "refrigerant leak": 2,
    "compressor valve leak": 6,
    "liquid-line restriction": 3,
    "condenser fouling": 4,
    "evaporator fouling": 1,
}
HEALTHY = CHARTS["lennox_lrp14ac_p23"]
POINTS = [
    (model, outdoor_f, suction, liquid)
    for model, row in HEALTHY["suction_psig"].items()
    for outdoor_f, suction, liquid in zip(
        HEALTHY["outdoor_F"], row, HEALTHY["liquid_psig"][model], strict=True
    )
]


@pytest.mark.parametrize("fault", PUBLISHED)
def test_no_rule_asks_for_the_opposite_of_the_published_sign(fault):
    """With a TXV the superheat of a leak need not be high: it adjusts (NIST SP 1087)."""
    signs = dict(zip(COLUMNS, PUBLISHED[fault], strict=True))
    for rule in (rule for rule in RULES if rule.number == RULE_OF[fault]):
        for name, directions in rule.needs.items():
            assert name == "amps" or signs[name] in directions, (rule.number, name)


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.number in (1, 6)])
def test_subcooling_never_votes_where_the_two_tables_disagree(rule):
    """Low indoor air and weak valves: "-" in the one, normal or high in the trade's."""
    assert "subcooling" not in {*rule.needs, *(rule.supports or {})}


def test_the_published_table_is_five_faults_by_seven_signs():
    assert {len(signs) for signs in PUBLISHED.values()} == {7}
    assert len(set(PUBLISHED.values())) == 5  # so that they can be told apart


@pytest.mark.parametrize(("model", "outdoor_f", "suction", "liquid"), POINTS)
def test_a_healthy_point_raises_no_fault(model, outdoor_f, suction, liquid):
    unit = Equipment("package", refrigerant="R-410A", metering="txv", tons=int(model) / 12)
    readings = {
        "outdoor_db_f": outdoor_f, "minutes_running": 20.0, "return_db_f": 80.0,
        "return_wb_f": 67.0, "suction_psig": suction, "liquid_psig": liquid,
    }  # fmt: skip
    judgement = judge(unit, readings)
    assert judgement.gate.is_open
    assert judgement.causes == ()
    assert judgement.contradictions == ()


def test_by_the_makers_own_chart_every_point_is_within_limits():
    for model, outdoor_f, suction, liquid in POINTS:
        chart = tuple(
            MakerPressures(at, 67.0, low, high) for name, at, low, high in POINTS if name == model
        )
        unit = Equipment("package", refrigerant="R-410A", maker_pressures=chart, tons=3)
        readings = {
            "outdoor_db_f": outdoor_f, "minutes_running": 20.0, "return_db_f": 80.0,
            "return_wb_f": 67.0, "supply_db_f": 62.0, "suction_psig": suction,
            "liquid_psig": liquid,
        }  # fmt: skip
        judgement = judge(unit, readings)
        assert judgement.of("suction_pressure").outcome == "within limits"
        assert judgement.of("liquid_pressure").outcome == "within limits"
