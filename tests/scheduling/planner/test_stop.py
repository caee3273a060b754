"""When a search ends, and how far it says it is."""

import random

import pytest

from scheduling.planner import AnyOf, MaxIterations, MaxSeconds, Plan, Progress, Score, plan
from scheduling.planner.stop import USUAL_SECONDS, share_done
from tests.scheduling.planner.small import made_up


def after(seconds=0.0, iterations=0):
    return Progress(seconds, iterations, 0.0, lambda: Plan(()), lambda: Score(0.0, (), 0))


@pytest.mark.parametrize(("seconds", "over"), [(9.9, False), (10.0, True)])
def test_it_stops_after_so_many_seconds(seconds, over):
    assert MaxSeconds(10.0)(after(seconds)) is over


@pytest.mark.parametrize(("iterations", "over"), [(999, False), (1000, True)])
def test_it_stops_after_so_many_rounds(iterations, over):
    assert MaxIterations(1000)(after(iterations=iterations)) is over


def test_any_of_several_rules_is_enough():
    rule = AnyOf(MaxSeconds(10.0), MaxIterations(1000))
    assert rule(after(seconds=11.0))
    assert rule(after(iterations=1000))
    assert not rule(after(seconds=9.0, iterations=999))


def test_the_rule_that_ends_first_says_how_far_the_search_is():
    rule = AnyOf(MaxSeconds(10.0), MaxIterations(1000), lambda progress: False)
    assert share_done(rule, after(seconds=5.0, iterations=100)) == 0.5


@pytest.mark.parametrize("rule", [MaxSeconds(0.0), MaxIterations(0)])
def test_a_rule_of_nothing_is_over_before_it_begins(rule):
    assert rule(after())
    assert share_done(rule, after()) == 1.0


def test_a_rule_without_an_end_cools_over_the_usual_time():
    assert share_done(lambda progress: False, after(USUAL_SECONDS / 4)) == 0.25
    assert share_done(AnyOf(lambda progress: False), after(2 * USUAL_SECONDS)) == 1.0


def test_any_callable_can_stop_a_search_and_sees_each_stretch_of_it():
    seen = []

    def three_looks(progress):
        seen.append(progress.iterations)
        return len(seen) == 3

    plan(made_up(random.Random(0)), three_looks)
    assert seen == sorted(seen)
    assert len(set(seen)) == 3


def test_a_stopped_search_gives_the_best_plan_it_has_shown():
    seen = []
    found = plan(made_up(random.Random(1)), MaxIterations(1000), watch=seen.append)
    assert seen[-1].best() == found
