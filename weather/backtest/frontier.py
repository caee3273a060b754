"""What can be had together: warm tests, tests before the heat, and kept promises.

Each setting is varied alone around the policy, and the two limits together from bold to careful,
with and without a short-notice list. A point is unbeaten when no other is at least as good in
all three figures and better in one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from weather.backtest.figures import Figures
from weather.backtest.policy import Policy
from weather.backtest.running import Stage
from weather.backtest.strategies import STRATEGIES

WITH_LIST, WITHOUT_LIST = "short_notice", "repair"
BOTH_LIMITS = "both_limits"
LIMITS = (0.5, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95)
AXES: Mapping[str, Sequence[float]] = {
    "first_booking_limit": (0.6, 0.7, 0.75, 0.8, 0.85, 0.9),
    "hold_limit": (0.0, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9),
    "pull_forward_limit": (0.8, 0.85, 0.9, 0.95, 0.98),
    "notice_days": (1, 2, 3, 4, 5),
    "promise_days": (2, 3, 5, 7, 10, 14),
    "short_notice_share": (0.0, 0.05, 0.1, 0.25, 0.5),
    "short_notice_days": (0, 1),
    "last_look_days": (0, 1, 2),
}
WANTED_WARM, WANTED_WORST, WANTED_BROKEN_OF_200 = 98.0, 92.0, 18.0


@dataclass(frozen=True)
class Point:
    """One policy with one setting at one value, everything else as chosen."""

    policy: str
    setting: str
    value: float
    figures: Figures
    unbeaten: bool = False


def frontier(
    stage: Stage, policy: Policy, progress: Callable[[], None] = lambda: None
) -> list[Point]:
    """Every point around `policy`, marked where unbeaten; `progress` is called after each."""
    points = []
    for name, setting, value, varied in variations(policy):
        points.append(Point(name, setting, value, stage.play(STRATEGIES[name], varied)))
        progress()
    return [replace(point, unbeaten=_unbeaten(point, points)) for point in points]


def recommended(policy: Policy) -> Policy:
    """The settings that did best in our own trials, at the same test temperature."""
    return Policy(test_temperature_f=policy.test_temperature_f)


def variations(policy: Policy) -> Iterator[tuple[str, str, float, Policy]]:
    """Name of the policy, setting, value, and the settings to play."""
    for name in (WITH_LIST, WITHOUT_LIST):
        for limit in LIMITS:
            both = replace(policy, first_booking_limit=limit, hold_limit=limit)
            yield name, BOTH_LIMITS, limit, both
    for setting, values in AXES.items():
        for value in values:
            if setting == "notice_days" and value > policy.promise_days:
                continue
            if setting == "promise_days" and value < policy.notice_days:
                continue
            changes: dict[str, float] = {setting: value}
            yield WITH_LIST, setting, value, replace(policy, **changes)  # type: ignore[arg-type]


def most_valid_within(points: Sequence[Point], checks: int) -> tuple[list[Point], Point | None]:
    """The points that reach what is wanted (98 % warm, 92 % in the worst spring, at most 18 of 200
    promises broken), and of these the one with the most valid tests."""
    good = [
        point
        for point in points
        if point.figures.warm_percent >= WANTED_WARM
        and point.figures.worst_spring_percent >= WANTED_WORST
        and point.figures.promises_broken <= WANTED_BROKEN_OF_200 * checks / 200
    ]
    return good, max(good, key=lambda point: point.figures.valid_before_85f, default=None)


def _unbeaten(point: Point, others: Sequence[Point]) -> bool:
    mine = _merits(point.figures)
    return not any(
        all(b >= a for a, b in zip(mine, theirs, strict=True)) and theirs != mine
        for theirs in (_merits(other.figures) for other in others)
    )


def _merits(figures: Figures) -> tuple[float, float, float]:
    return (
        round(figures.warm_percent, 2),
        round(figures.valid_before_85f, 2),
        -round(figures.promises_broken, 2),
    )
