"""What each setting costs, and which points nothing beats."""

import json

from tests.weather.backtest.made_up_springs import always_warm, spring
from weather.backtest import Policy, Setup
from weather.backtest.frontier import frontier, most_valid_within, variations
from weather.backtest.report import Report, as_json, as_text, had_together
from weather.backtest.running import stage_of
from weather.backtest.strategies import STRATEGIES

SETUP = Setup(checks=40, seeds=1)
STAGE = stage_of([spring(lambda day: 60.0 + 8.0 * (day.day % 3 - 1))], Policy(), SETUP)
POINTS = frontier(STAGE, Policy())


def report(points=POINTS, stage=STAGE):
    figures = {name: stage.play(play, Policy()) for name, play in STRATEGIES.items()}
    best = figures["short_notice"]
    return Report(stage.springs, [], ["made up"], Policy(), SETUP, figures, best, points)


def test_every_setting_of_the_policy_but_the_temperature_is_varied():
    varied = {setting for _, setting, _, _ in variations(Policy())}
    assert varied == set(Policy.__dataclass_fields__) - {"test_temperature_f"} | {"both_limits"}


def test_no_variation_promises_later_than_its_notice():
    for _, _, _, policy in variations(Policy(notice_days=4, promise_days=5)):
        assert policy.promise_days >= policy.notice_days


def test_an_unbeaten_point_is_better_than_any_other_in_something():
    best = [point for point in POINTS if point.unbeaten]
    most_warm = max(point.figures.warm_percent for point in POINTS)
    assert most_warm in {point.figures.warm_percent for point in best}
    assert 0 < len(best) <= len(POINTS)


def test_what_can_be_had_together_is_said_in_a_sentence():
    sure = stage_of([always_warm()], Policy(), SETUP)
    points = frontier(sure, Policy())
    good, best = most_valid_within(points, SETUP.checks)
    assert good
    assert best.figures.valid_before_85f == 40
    assert "settings reach 98 % warm" in had_together(report(points, sure))
    assert had_together(report([])).startswith("No setting here reaches 98 % warm")


def test_the_json_has_the_five_policies_with_numbers_only():
    found = json.loads(json.dumps(as_json(report())))
    assert set(found["policies"]) == {"calendar", "climate", "repair", "short_notice", "foresight"}
    wanted = {
        "warm_percent", "worst_spring_percent", "valid_before_85f", "finish_doy",
        "promises_broken", "trips_lost",
    }  # fmt: skip
    for numbers in found["policies"].values():
        assert wanted <= set(numbers)
        assert all(isinstance(value, float | int) for value in numbers.values())
    assert len(found["frontier"]) == len(POINTS)


def test_the_text_has_a_line_for_each_policy_and_each_point():
    lines = as_text(report()).splitlines()
    for name in STRATEGIES:
        assert any(line.startswith(name) for line in lines)
    assert sum("hold_limit" in line and line[0] in " *" for line in lines) >= 8
