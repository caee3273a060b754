"""Early warnings from visit to visit."""

from datetime import date

import pytest

from fieldwork.readings import EarlierVisit, judge
from tests.fieldwork.readings.units import FURNACE, VALVE, cooling, heating, split_off_by

TODAY = date(2027, 5, 10)
SPRINGS = (date(2025, 5, 10), date(2026, 5, 10))


def trends_of(now, *before, unit=VALVE, replaced=frozenset()):
    visits = [
        EarlierVisit(day, readings, replaced)
        for day, readings in zip(SPRINGS[-len(before) :], before, strict=True)
    ]
    return {trend.key: trend for trend in judge(unit, now, visits, today=TODAY).trends}


def capacitor(microfarads):
    return cooling(capacitor_compressor_uf=microfarads)


def test_a_capacitor_on_its_way_to_the_limit_is_brought_along():
    trend = trends_of(capacitor(43.0), capacitor(45.0), capacitor(44.0))["capacitor_compressor"]
    assert trend.bring == "capacitor 45/5 µF"
    assert trend.certain
    assert trend.visits == 3


def test_two_visits_make_a_line_that_is_not_certain():
    trend = trends_of(capacitor(42.9), capacitor(44.4))["capacitor_compressor"]
    assert not trend.certain


@pytest.mark.parametrize(
    ("before", "now"), [((45.0, 44.9), 44.8), ((43.0, 44.0), 45.0), ((44.0, 43.0), 40.0)]
)
def test_no_warning_when_it_holds_grows_or_is_already_out(before, now):
    assert trends_of(capacitor(now), *map(capacitor, before)) == {}


def test_a_new_capacitor_begins_a_new_line():
    replaced = frozenset({"capacitor_compressor_uf"})
    assert trends_of(capacitor(43.0), capacitor(45.0), replaced=replaced) == {}


def test_a_split_that_falls_from_its_target_is_told():
    assert "split" in trends_of(cooling(**split_off_by(-2.5)), cooling())
    assert "split" not in trends_of(cooling(**split_off_by(-1.9)), cooling())


def test_a_visit_in_other_weather_does_not_count():
    then = cooling(outdoor_db_f=91.0, liquid_psig=365.0)
    assert "split" not in trends_of(cooling(**split_off_by(-2.5)), then)


@pytest.mark.parametrize(
    ("key", "then", "now"),
    [
        ("condenser", {"liquid_psig": 318.0}, {"liquid_psig": 342.0}),
        ("tesp", {"tesp_in_wc": 0.45}, {"tesp_in_wc": 0.55}),
        ("compressor_amps", {"compressor_a": 11.0}, {"compressor_a": 12.1}),
    ],
)
def test_a_slow_change_of_cooling_is_told(key, then, now):
    assert key in trends_of(cooling(**now), cooling(**then))


@pytest.mark.parametrize(
    ("key", "then", "now"),
    [
        ("flame", {"flame_ua": 4.0}, {"flame_ua": 2.8}),
        ("flue_co", {"flue_co_ppm": 10.0}, {"flue_co_ppm": 20.0}),
    ],
)
def test_a_slow_change_of_the_flame_is_told(key, then, now):
    assert key in trends_of(heating(**now), heating(**then), unit=FURNACE)


def test_nothing_changes_nothing_is_told():
    assert trends_of(cooling(), cooling(), cooling()) == {}


def test_without_a_day_there_are_no_trends():
    earlier = [EarlierVisit(SPRINGS[0], capacitor(45.0))]
    assert judge(VALVE, capacitor(42.5), earlier).trends == ()


def test_an_earlier_visit_with_a_field_of_the_past_or_an_impossible_reading_is_still_read():
    then = {**capacitor(44.4), "field_of_the_past": 1.0, "return_wb_f": 89.0}
    assert "capacitor_compressor" in trends_of(capacitor(42.9), then)


def test_co_read_with_the_burner_off_is_no_trend():
    then, now = heating(flue_co_ppm=10.0), heating(flue_co_ppm=40.0, burner_on_steady=False)
    assert "flue_co" not in trends_of(now, then, unit=FURNACE)
