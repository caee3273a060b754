"""A furnace: rise, gas, flame and carbon monoxide at the edges of their limits."""

from dataclasses import replace

import pytest

from fieldwork.readings import Outcome, judge
from fieldwork.readings.air import humidity_ratio, wet_bulb_f
from fieldwork.readings.combustion import air_free_co_ppm, gas_ft3_h
from fieldwork.readings.electricity import capacitance_uf
from tests.fieldwork.readings.units import FURNACE, heating


def test_a_healthy_furnace_is_within_limits_and_nothing_is_missing():
    judgement = judge(FURNACE, heating())
    assert {verdict.outcome for verdict in judgement.verdicts} == {Outcome.WITHIN}
    assert judgement.missing == ()
    assert judgement.emergencies == ()


@pytest.mark.parametrize(
    ("supply_f", "outcome"),
    [(102.9, "act"), (103.0, "within limits"), (133.0, "within limits"), (133.1, "act")],
)
def test_the_rise_must_be_in_the_plates_range(supply_f, outcome):
    assert judge(FURNACE, heating(heating_supply_f=supply_f)).of("rise").outcome == outcome


def test_without_the_plates_range_the_rise_tells_the_airflow():
    verdict = judge(replace(FURNACE, least_rise_f=None), heating()).of("rise")
    assert verdict.outcome is Outcome.CANNOT_JUDGE
    assert "1,185" in verdict.sentence
    assert verdict.not_on_file == ("least_rise_f", "most_rise_f")


@pytest.mark.parametrize(
    ("seconds", "outcome"),
    [(44.2, "within limits"), (44.1, "act"), (48.7, "within limits"), (48.9, "watch")],
)
def test_the_gas_clock_allows_five_per_cent_of_the_plate(seconds, outcome):
    assert judge(FURNACE, heating(meter_seconds=seconds)).of("gas_input").outcome == outcome


def test_above_two_thousand_feet_the_plate_is_derated_by_its_maker():
    verdict = judge(replace(FURNACE, elevation_ft=5280.0), heating()).of("gas_input")
    assert verdict.outcome is Outcome.CANNOT_JUDGE
    assert "derated" in verdict.sentence


@pytest.mark.parametrize(
    ("fuel", "in_wc", "outcome"),
    [("natural_gas", 3.5, "within limits"), ("natural_gas", 3.9, "act"),
     ("propane", 10.0, "within limits"), ("propane", 9.6, "act")],
)  # fmt: skip
def test_the_manifold_is_set_for_its_gas(fuel, in_wc, outcome):
    readings = heating(gas_type=fuel, gas_manifold_in_wc=in_wc)
    assert judge(replace(FURNACE, fuel=fuel), readings).of("manifold").outcome == outcome


def test_another_gas_than_on_file_is_a_contradiction():
    judgement = judge(FURNACE, heating(gas_type="propane"))
    assert "orifices" in judgement.contradictions[0].words
    assert not judgement.of("manifold").judged


@pytest.mark.parametrize(
    ("microamps", "outcome"),
    [(1.5, "within limits"), (1.4, "watch"), (0.5, "watch"), (0.4, "act")],
)
def test_flame_current_is_watched_then_acted_on(microamps, outcome):
    assert judge(FURNACE, heating(flame_ua=microamps)).of("flame").outcome == outcome


def test_a_makers_own_least_flame_goes_before_the_rules():
    unit = replace(FURNACE, least_flame_ua=1.0)
    assert judge(unit, heating(flame_ua=1.2)).of("flame").outcome is Outcome.WITHIN


@pytest.mark.parametrize(
    ("co_ppm", "outcome"), [(66.0, "within limits"), (67.0, "watch"), (267.0, "act")]
)
def test_co_in_the_flue_is_judged_air_free(co_ppm, outcome):
    """At 7 % oxygen 66 ppm are 99 air-free, 67 are 101, 267 are 401."""
    assert judge(FURNACE, heating(flue_co_ppm=co_ppm)).of("flue_co").outcome == outcome


@pytest.mark.parametrize("steady", [False, None])
def test_co_counts_only_with_the_burner_on_and_steady(steady):
    verdict = judge(FURNACE, heating(burner_on_steady=steady)).of("flue_co")
    assert verdict.outcome is Outcome.CANNOT_JUDGE


def test_a_probe_in_plain_air_tells_nothing():
    judgement = judge(FURNACE, heating(flue_co_ppm=5.0, flue_o2_percent=20.8))
    assert not judgement.of("flue_co").judged
    assert judgement.emergencies == ()


@pytest.mark.parametrize(
    ("ppm", "outcome"), [(9.0, "within limits"), (10.0, "watch"), (35.0, "watch"), (36.0, "act")]
)
def test_co_in_the_room_is_the_worse_of_the_two(ppm, outcome):
    judgement = judge(FURNACE, heating(ambient_co_before_ppm=ppm, ambient_co_after_ppm=0.0))
    assert judgement.of("ambient_co").outcome == outcome


@pytest.mark.parametrize(
    "name", ["limit_tested", "rollout_tested", "pressure_switch_tested", "co_alarm_tested"]
)
def test_a_safety_that_did_not_work_is_told(name):
    assert judge(FURNACE, heating(**{name: False})).of(name).outcome in ("watch", "act")


@pytest.mark.parametrize(
    "name",
    [
        "meter_seconds",
        "gas_manifold_in_wc",
        "gas_inlet_in_wc",
        "flame_ua",
        "flue_co_ppm",
        "flue_o2_percent",
        "heating_supply_f",
    ],
)
def test_what_was_not_read_is_named(name):
    assert name in judge(FURNACE, heating(**{name: None})).missing


@pytest.mark.parametrize("key", ["gas_input", "manifold", "gas_inlet"])
def test_which_gas_it_burns_has_to_be_known(key):
    unit = replace(FURNACE, fuel=None)
    verdict = judge(unit, heating(gas_type=None, gas_btu_per_ft3=None)).of(key)
    assert (verdict.judged, verdict.missing) == (False, ("gas_type",))


def test_the_gas_told_on_the_visit_does_when_none_is_on_file():
    assert judge(replace(FURNACE, fuel=None), heating()).of("manifold").judged


@pytest.mark.parametrize(
    ("function", "numbers"),
    [(gas_ft3_h, (1.0, 0.0)), (air_free_co_ppm, (10.0, 20.9)), (capacitance_uf, (1.0, 0.0)),
     (wet_bulb_f, (75.0, 0.0)), (humidity_ratio, (70.0, 71.0))],
)  # fmt: skip
def test_a_formula_refuses_what_it_cannot_work_with(function, numbers):
    with pytest.raises(ValueError, match=r"\d"):
        function(*numbers)
