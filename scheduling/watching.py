"""What the watch page shows: the last look, what it asks for, what waits, and what came of others.

A handful of queries, however many proposals there are.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from scheduling.models import (
    REPAIRS,
    RepairStep,
    Season,
    SeasonWatch,
    StepState,
    Visit,
    What,
)
from scheduling.notice import decided_on
from shop.models import Branch

LISTED = 60
ENDED = (StepState.OVERTAKEN, StepState.WITHDRAWN)


@dataclass(frozen=True)
class Waiting:
    """A promise that is too cold by now and need not be decided yet."""

    visit: Visit
    decided_on: dt.date


@dataclass(frozen=True)
class WatchPage:
    season: Season
    watch: SeasonWatch | None
    steps: list[RepairStep]
    ended: list[RepairStep]
    held: list[Visit]
    waiting: list[Waiting]

    @cached_property
    def repairs(self) -> list[RepairStep]:
        return [step for step in self.steps if step.what in REPAIRS]

    @cached_property
    def releases(self) -> list[RepairStep]:
        return [step for step in self.steps if step.what == What.RELEASE]

    @cached_property
    def fills(self) -> list[RepairStep]:
        return [step for step in self.steps if step.what == What.FILL]

    @property
    def broken(self) -> int:
        """Promises that the repairs move or take back."""
        return len(self.repairs)

    @property
    def until(self) -> dt.date | None:
        """The last promised day that the look saw."""
        seen = self.watch.seen if self.watch else {}
        return dt.date.fromisoformat(seen["until"]) if seen else None


def watch_page(season: Season) -> WatchPage:
    steps = RepairStep.objects.for_season(season).leading().with_home()
    steps = steps.prefetch_related(
        "companions__visit__owed_visit__agreement__home__customer", "companions__to_technician"
    )
    proposed = list(steps.proposed().order_by("from_starts_at", "to_starts_at", "pk"))
    watch = SeasonWatch.objects.filter(season=season).first()
    held = Visit.objects.for_season(season).held().with_home().order_by("held_since", "pk")
    return WatchPage(
        season=season,
        watch=watch,
        steps=proposed,
        ended=list(steps.filter(state__in=ENDED).order_by("-decided_at")[:12]),
        held=list(held),
        waiting=_waiting(season, watch, {step.visit_id for step in proposed}),
    )


def _waiting(season: Season, watch: SeasonWatch | None, asked: set[int]) -> list[Waiting]:
    branch = season.branch
    cold = set(watch.seen.get("too_cold", ())) - asked if watch else set()
    visits = Visit.objects.filter(pk__in=cold).placed().with_home().order_by("starts_at")
    return [
        Waiting(visit, decided_on(day, branch.notice_days, branch.works_on))
        for visit in visits
        for day in [visit.slot[0].astimezone(branch.zone).date()]
    ]


def proposal_counts(branch: Branch) -> dict[str, int]:
    """How many repairs, releases and fills wait for the office. One query."""
    whats = list(
        RepairStep.objects.of(branch)
        .proposed().leading().order_by().values_list("what", flat=True)
    )  # fmt: skip
    repairs = sum(what in REPAIRS for what in whats)
    releases = whats.count(What.RELEASE)
    return {"repairs": repairs, "releases": releases, "fills": whats.count(What.FILL)}
