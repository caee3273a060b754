"""Readings that a running system cannot make: told, left out of every verdict, never refused."""

from dataclasses import replace

import pytest

from fieldwork.readings import FIELDS, Accepted, Asked, Outcome, Refused, judge, read_entry
from fieldwork.readings.saturation import saturation_psig
from tests.fieldwork.readings.units import (
    FIXED,
    FURNACE,
    HEAT_PUMP,
    VALVE,
    cooling,
    heating,
    split_off_by,
    subcooling_of,
    superheat_of,
)

REFRIGERANTS = ["R-22", "R-134a", "R-407C", "R-410A", "R-32", "R-454B"]


def quarrels(unit, readings) -> set[str]:
    return {name for found in judge(unit, readings).contradictions for name in found.fields}


@pytest.mark.parametrize("feet", [0.0, 5000.0])
@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_a_healthy_unit_of_any_refrigerant_at_any_height_has_no_quarrel(refrigerant, feet):
    unit = replace(VALVE, refrigerant=refrigerant, elevation_ft=feet)
    judgement = judge(unit, cooling(unit))
    assert judgement.contradictions == ()
    assert judgement.of("metering").value == pytest.approx(12.0, abs=0.01)
    assert judgement.of("subcooling").value == pytest.approx(10.0, abs=0.01)


@pytest.mark.parametrize(
    ("readings", "fields"),
    [
        (superheat_of(-12.0), {"suction_psig", "suction_line_f"}),
        (subcooling_of(-12.0), {"liquid_psig", "liquid_line_f"}),
        ({"suction_psig": 240.0, "suction_line_f": 90.0}, {"suction_psig"}),
        ({"supply_db_f": 38.0, "supply_wb_f": None}, {"suction_psig", "supply_db_f"}),
        ({"return_wb_f": 40.0}, {"return_wb_f", "return_db_f"}),
        ({"return_wb_f": 77.0}, {"return_wb_f", "return_db_f"}),
    ],
)
def test_what_cannot_be_gives_no_verdict_on_the_charge(readings, fields):
    judgement = judge(VALVE, cooling(**readings))
    assert quarrels(VALVE, cooling(**readings)) == fields
    judged = {v.key for v in judgement.verdicts if v.judged and set(v.used) & fields}
    assert judged == set()
    assert judgement.test == "owed"
    assert judgement.causes == ()


@pytest.mark.parametrize("off_f", [-4.9, 0.0])
def test_a_little_below_the_boiling_point_may_be_the_instruments(off_f):
    assert quarrels(VALVE, cooling(**superheat_of(off_f))) == set()


def test_vapour_of_a_blend_with_a_glide_may_be_between_its_bubble_and_its_dew():
    """R-407C glides about 10 °F at these pressures: 8 °F under dew it still boils."""
    unit = replace(VALVE, refrigerant="R-407C")
    assert quarrels(unit, cooling(unit, **superheat_of(-8.0))) == set()
    assert judge(unit, cooling(unit, **superheat_of(-8.0))).of("metering").outcome is Outcome.ACT


def test_it_is_asked_about_when_it_is_typed_and_can_be_kept():
    psig = saturation_psig("R-410A", "dew", 45.0)
    so_far = {"suction_psig": psig}
    asked = read_entry(FIELDS["suction_line_f"], "30", VALVE, so_far, sure=False)
    assert isinstance(asked, Asked)
    assert read_entry(FIELDS["suction_line_f"], "30", VALVE, so_far, sure=True) == Accepted(30.0)


def test_a_wet_bulb_drier_than_dry_air_is_refused():
    refused = read_entry(FIELDS["return_wb_f"], "42", VALVE, {"return_db_f": 78.0})
    assert isinstance(refused, Refused)
    assert "drier than dry air" in refused.words


def test_air_that_is_not_cooled_at_all_is_acted_on_and_says_nothing_about_the_charge():
    judgement = judge(VALVE, cooling(supply_db_f=77.0))
    assert judgement.of("split").outcome is Outcome.ACT
    assert "does not cool at all" in judgement.of("split").sentence
    assert not judgement.of("subcooling").judged
    assert judgement.test == "owed"


def test_a_weak_split_still_lets_the_charge_be_judged():
    judgement = judge(VALVE, cooling(**split_off_by(-8.0)))
    assert judgement.of("split").outcome is Outcome.WATCH
    assert judgement.of("subcooling").judged


@pytest.mark.parametrize("name", ["compressor_a", "outdoor_fan_a", "blower_a"])
def test_no_current_is_no_good_current(name):
    verdict = judge(VALVE, cooling(**{name: 0.0})).of(name.removesuffix("_a") + "_amps")
    assert verdict.outcome is Outcome.CANNOT_JUDGE


def test_more_heat_than_any_such_unit_takes_out_is_not_praised():
    readings = cooling(airflow_cfm=1300.0, return_wb_f=70.0, supply_wb_f=48.0)
    verdict = judge(VALVE, readings).of("capacity")
    assert verdict.outcome is Outcome.CANNOT_JUDGE
    assert "measure airflow" in verdict.sentence


@pytest.mark.parametrize("supply_f", [60.0, 68.0])
def test_a_furnace_does_not_cool(supply_f):
    judgement = judge(FURNACE, heating(heating_supply_f=supply_f))
    assert quarrels(FURNACE, heating(heating_supply_f=supply_f)) == {
        "heating_return_f", "heating_supply_f",
    }  # fmt: skip
    assert not judgement.of("rise").judged


def test_a_heat_pump_that_cools_in_winter_is_a_finding_and_no_quarrel():
    readings = {"heating_return_f": 68.0, "heating_supply_f": 60.0}
    assert quarrels(HEAT_PUMP, readings) == set()
    assert judge(HEAT_PUMP, readings).of("heating_rise").outcome is Outcome.ACT


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
@pytest.mark.parametrize(("name", "text"), [("suction_psig", "-1"), ("liquid_psig", "900")])
def test_a_pressure_that_no_gauge_of_the_trade_shows_is_refused(refrigerant, name, text):
    unit = replace(FIXED, refrigerant=refrigerant)
    assert isinstance(read_entry(FIELDS[name], text, unit, {}), Refused)


@pytest.mark.parametrize(
    ("fuel", "typed", "kind"),
    [("natural_gas", "1030", Accepted), ("natural_gas", "2500", Asked),
     ("propane", "2500", Accepted), ("propane", "1030", Asked)],
)  # fmt: skip
def test_the_heat_of_the_other_gas_is_asked_about(fuel, typed, kind):
    unit = replace(FURNACE, fuel=fuel)
    assert isinstance(read_entry(FIELDS["gas_btu_per_ft3"], typed, unit, {}), kind)


@pytest.mark.parametrize(
    ("volts", "outcome"), [((452.0, 464.0, 455.0), "within limits"), ((440.0, 464.0, 455.0), "act")]
)
def test_the_three_phases_of_a_460_volt_unit_can_be_typed_and_judged(volts, outcome):
    unit = replace(VALVE, phases=3, line_v=460.0, line_v_lower=None)
    names = ("line_v_running", "line_v_l2_l3", "line_v_l1_l3")
    for name, value in zip(names, volts, strict=True):
        assert read_entry(FIELDS[name], str(value), unit, {}) == Accepted(value)
    judgement = judge(unit, cooling(unit, **dict(zip(names, volts, strict=True))))
    assert judgement.of("imbalance").outcome == outcome
    assert judgement.contradictions == ()
