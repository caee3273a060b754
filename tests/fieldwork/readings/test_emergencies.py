"""What overrides everything, and that nothing hides it."""

from dataclasses import replace

import pytest

from fieldwork.readings import Outcome, judge
from tests.fieldwork.readings.units import FURNACE, VALVE, cooling, heating

ANSWERS = [
    ("gas_leak_found", True, "Gas leak"),
    ("rollout_tripped", True, "Rollout"),
    ("heat_exchanger", "cracked", "Heat exchanger"),
    ("spillage_found", True, "Flue gas"),
]


@pytest.mark.parametrize(("name", "answer", "title"), ANSWERS)
def test_a_bad_answer_is_an_emergency_with_what_to_do(name, answer, title):
    judgement = judge(FURNACE, heating(**{name: answer}))
    assert judgement.emergencies[0].title.startswith(title)
    assert judgement.emergencies[0].action.count(".") >= 2
    assert judgement.of(name).outcome is Outcome.ACT
    assert judgement.worst is Outcome.ACT


@pytest.mark.parametrize(
    ("ppm", "words"), [(35.0, None), (36.0, "open windows"), (99.0, "open windows"), (100.0, "911")]
)
def test_co_in_the_room_airs_at_36_and_empties_the_house_at_100(ppm, words):
    found = judge(FURNACE, heating(ambient_co_after_ppm=ppm)).emergencies
    assert [words in emergency.action for emergency in found] == ([] if words is None else [True])


@pytest.mark.parametrize(("co_ppm", "alarms"), [(266.0, 0), (267.0, 1)])
@pytest.mark.parametrize("steady", [True, None])
def test_400_ppm_air_free_shuts_it_off_also_before_steady_is_answered(co_ppm, alarms, steady):
    readings = heating(flue_co_ppm=co_ppm, burner_on_steady=steady)
    assert len(judge(FURNACE, readings).emergencies) == alarms


def test_400_ppm_as_measured_is_enough_when_the_oxygen_is_lacking():
    assert judge(FURNACE, heating(flue_co_ppm=400.0, flue_o2_percent=None)).emergencies


def test_400_ppm_as_measured_is_enough_in_much_air():
    assert judge(FURNACE, heating(flue_co_ppm=400.0, flue_o2_percent=19.0)).emergencies


def test_a_reading_with_the_burner_off_raises_no_alarm():
    assert not judge(FURNACE, heating(flue_co_ppm=900.0, burner_on_steady=False)).emergencies


def test_a_refrigerant_sensor_in_alarm_is_an_emergency():
    unit = replace(VALVE, refrigerant="R-32")
    found = judge(unit, cooling(unit, leak_sensor_alarm=True)).emergencies
    assert "never bypass" in found[0].action


def test_an_emergency_is_told_whatever_list_was_begun():
    """A gas smell in a cooling check: the list of the furnace was never opened."""
    judgement = judge(VALVE, {**cooling(), "gas_leak_found": True}, lists=("cooling",))
    assert judgement.emergencies[0].key == "gas_leak_found"


def test_the_gravest_comes_first():
    judgement = judge(FURNACE, heating(ambient_co_after_ppm=150.0, flue_co_ppm=2000.0))
    assert [each.key for each in judgement.emergencies] == ["ambient_co", "flue_co"]
