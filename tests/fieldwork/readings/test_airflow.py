"""Airflow: split, measured air, static pressure and capacity."""

from dataclasses import replace

import pytest

from fieldwork.readings import Outcome, judge
from fieldwork.readings.airflow import cfm_by_rise
from tests.fieldwork.readings.units import VALVE, cooling, split_off_by


@pytest.mark.parametrize(
    ("off_f", "outcome"),
    [(3.0, "within limits"), (3.1, "act"), (-3.0, "within limits"), (-3.1, "watch")],
)
def test_the_split_is_judged_against_its_target(off_f, outcome):
    verdict = judge(VALVE, cooling(**split_off_by(off_f))).of("split")
    assert verdict.outcome == outcome
    assert "screening" in verdict.limit_source


@pytest.mark.parametrize(
    ("cfm", "outcome"),
    [(899.0, "act"), (900.0, "watch"), (1050.0, "within limits"), (1351.0, "watch")],
)
def test_measured_air_is_judged_by_the_ton(cfm, outcome):
    assert judge(VALVE, cooling(airflow_cfm=cfm)).of("airflow").outcome == outcome


@pytest.mark.parametrize(
    ("in_wc", "outcome"), [(0.5, "within limits"), (0.51, "watch"), (0.7, "watch"), (0.71, "act")]
)
def test_static_pressure_is_judged_by_the_usual_rating(in_wc, outcome):
    assert judge(VALVE, cooling(tesp_in_wc=in_wc)).of("tesp").outcome == outcome


def test_static_pressure_is_judged_by_the_plate_when_it_is_on_file():
    unit = replace(VALVE, most_tesp_in_wc=0.8)
    assert judge(unit, cooling(tesp_in_wc=0.75)).of("tesp").outcome is Outcome.WITHIN


def test_humidity_does_instead_of_the_wet_bulb():
    dry = judge(VALVE, cooling(return_wb_f=None))
    humid = judge(VALVE, cooling(return_wb_f=None, return_rh_percent=46.0))
    assert "return_wb_f" in dry.missing
    assert humid.of("split").judged


def test_little_capacity_is_watched():
    weak = judge(VALVE, cooling(airflow_cfm=1100.0, supply_wb_f=54.0)).of("capacity")
    assert weak.outcome is Outcome.WATCH
    strong = judge(VALVE, cooling(airflow_cfm=1300.0, supply_wb_f=50.5)).of("capacity")
    assert strong.outcome is Outcome.WITHIN


def test_a_supply_wetter_than_the_return_gives_no_capacity():
    wet = judge(VALVE, cooling(airflow_cfm=1100.0, supply_wb_f=56.0)).of("capacity")
    assert wet.outcome is Outcome.CANNOT_JUDGE
    assert "wet bulbs again" in wet.sentence


def test_a_rise_tells_the_airflow_and_thin_air_makes_it_more():
    assert cfm_by_rise(80_000, 0.8, 50) == pytest.approx(1185, abs=1)
    assert cfm_by_rise(80_000, 0.8, 50, 5000) == pytest.approx(1185 / 0.832, rel=0.001)
    with pytest.raises(ValueError, match="no temperature rise"):
        cfm_by_rise(80_000, 0.8, 0.0)


def test_a_dense_filter_is_watched():
    assert judge(VALVE, cooling(filter_drop_in_wc=0.31)).of("filter_drop").outcome is Outcome.WATCH
