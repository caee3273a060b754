"""Springs, seeds and policies through the simulation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from weather.backtest.desk import Desk, Outlook, look_out
from weather.backtest.figures import Figures, Outcome, outcome, summed
from weather.backtest.policy import Policy
from weather.backtest.reading import Readings
from weather.backtest.slot_climate import SlotClimate, learnt_from_the_file
from weather.backtest.springs import Spring, cut_springs
from weather.backtest.strategies import STRATEGIES, Strategy

FIRST = (3, 2)
SEEDS = 8


@dataclass(frozen=True)
class Setup:
    """What is simulated, whatever the policy: how much work, who does it, and which noise."""

    checks: int = 200
    technicians: int = 2
    first: tuple[int, int] = FIRST
    seeds: int = SEEDS
    error_scale: float = 1.0
    return_trips: bool = False

    def __post_init__(self) -> None:
        for name, least, most in (
            ("checks", 1, 20_000),
            ("technicians", 1, 100),
            ("seeds", 1, 100),
            ("error_scale", 0.0, 3.0),
        ):
            value = getattr(self, name)
            if not least <= value <= most:
                raise ValueError(f"{name} is {value}; it must lie in {least} to {most}.")


@dataclass
class Stage:
    """Springs with their forecasts made once, on which many policies play."""

    springs: Sequence[Spring]
    setup: Setup
    test_temperature_f: float = 55.0

    @cached_property
    def outlooks(self) -> list[Outlook]:
        policy = Policy(test_temperature_f=self.test_temperature_f)
        return [
            look_out(spring, policy, self.setup.first, seed, self.setup.error_scale)
            for spring in self.springs
            for seed in range(self.setup.seeds)
        ]

    def play(self, strategy: Strategy, policy: Policy) -> Figures:
        """The policy's figures. Its test temperature must be the stage's."""
        if policy.test_temperature_f != self.test_temperature_f:
            raise ValueError("The policy tests at another temperature than the stage.")
        outcomes: dict[str, list[Outcome]] = {}
        for outlook in self.outlooks:
            desk = played(outlook, strategy, policy, self.setup)
            outcomes.setdefault(outlook.spring.name, []).append(outcome(desk))
        return summed(outcomes)


def played(outlook: Outlook, strategy: Strategy, policy: Policy, setup: Setup) -> Desk:
    """One spring, morning after morning, until everything is done or the spring is over."""
    desk = Desk(outlook, policy, setup.checks, setup.technicians, setup.return_trips)
    for today in range(outlook.first_day - policy.promise_days, outlook.days):
        strategy(desk, today)
        desk.drive(today)
        if desk.done:
            break
    return desk


def run_policies(
    springs: Sequence[Spring],
    policy: Policy,
    setup: Setup,
    names: Sequence[str] = tuple(STRATEGIES),
) -> dict[str, Figures]:
    """The figures of each policy by its name. ValueError when there is no spring."""
    stage = stage_of(springs, policy, setup)
    return {name: stage.play(STRATEGIES[name], policy) for name in names}


def cost_of_settings(
    hours: Readings,
    policy: Policy,
    setup: Setup | None = None,
    *,
    climate_of: SlotClimate = learnt_from_the_file,
    strategy: str = "short_notice",
) -> Figures:
    """What these settings would have cost and brought in the springs of `hours`."""
    springs, _ = cut_springs(hours, climate_of)
    return run_policies(springs, policy, setup or Setup(), [strategy])[strategy]


def stage_of(springs: Sequence[Spring], policy: Policy, setup: Setup) -> Stage:
    """The springs made ready for policies that test at this one's temperature."""
    if not springs:
        raise ValueError("There is no spring to play in.")
    return Stage(springs, setup, policy.test_temperature_f)
