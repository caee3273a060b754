"""When to stop searching: any callable that takes a `Progress` and answers yes or no.

A rule that also has `share(progress)`, from 0 at the beginning to 1 at the end, lets the search
cool down to its end; without one the search cools over `USUAL_SECONDS` and then stays cool.
"""

from collections.abc import Callable
from dataclasses import dataclass

from .problem import Plan
from .score import Score

USUAL_SECONDS = 60.0
Stop = Callable[["Progress"], bool]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the search is.

    `score`: price of the best plan so far as the search counts it; the plan itself can be a trifle
    cheaper. `best()` builds that plan, and the figures are worked out from it when asked for.
    """

    seconds: float
    iterations: int
    score: float
    best: Callable[[], Plan]
    figures: Callable[[], Score]

    @property
    def placed(self) -> int:
        return self.figures().placed

    @property
    def cold_trips(self) -> float:
        return self.figures().cold_trips

    @property
    def travel_min(self) -> float:
        return self.figures().travel_min


@dataclass(frozen=True, slots=True)
class MaxSeconds:
    """Stop after so many seconds of searching; the result depends on the machine's speed."""

    seconds: float

    def __call__(self, progress: Progress) -> bool:
        return progress.seconds >= self.seconds

    def share(self, progress: Progress) -> float:
        return min(1.0, progress.seconds / self.seconds) if self.seconds > 0 else 1.0


@dataclass(frozen=True, slots=True)
class MaxIterations:
    """Stop after so many rounds; the same seed then always gives the same plan."""

    iterations: int

    def __call__(self, progress: Progress) -> bool:
        return progress.iterations >= self.iterations

    def share(self, progress: Progress) -> float:
        return min(1.0, progress.iterations / self.iterations) if self.iterations > 0 else 1.0


class AnyOf:
    """Stop as soon as one of several rules says so."""

    def __init__(self, *rules: Stop) -> None:
        self.rules = rules

    def __call__(self, progress: Progress) -> bool:
        return any(rule(progress) for rule in self.rules)

    def share(self, progress: Progress) -> float:
        known = [rule for rule in self.rules if hasattr(rule, "share")]
        return max((share_done(rule, progress) for rule in known), default=_usual(progress))


def share_done(stop: Stop, progress: Progress) -> float:
    """The part of the search that lies behind, 0 to 1."""
    share = getattr(stop, "share", None)
    return float(share(progress)) if share is not None else _usual(progress)


def _usual(progress: Progress) -> float:
    return min(1.0, progress.seconds / USUAL_SECONDS)
