"""What the watch page shows: the last look, what it asks for, what waits, and what came of others.

A handful of queries, however many proposals there are.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Count, Min

from kit.when import moment_at
from scheduling import states
from scheduling.models import (
    REPAIRS,
    RepairStep,
    Season,
    SeasonWatch,
    StepState,
    Visit,
    What,
)
from scheduling.models.repair import RepairStepQuerySet
from scheduling.notice import decided_on
from shop.models import Branch

LISTED = 60
ENDED_SHOWN_FOR = dt.timedelta(days=7)
ENDED = (StepState.OVERTAKEN, StepState.WITHDRAWN)


@dataclass(frozen=True)
class Waiting:
    """A promise that is too cold by now and need not be decided yet."""

    visit: Visit
    decided_on: dt.date


@dataclass(frozen=True)
class WatchPage:
    """`promised`: how many visits customers were told of, within the days that the look saw;
    `lowest`: the least warmth of those that need it, None without one.
    """

    season: Season
    watch: SeasonWatch | None
    steps: list[RepairStep]
    ended: list[RepairStep]
    held: list[Visit]
    waiting: list[Waiting]
    promised: int
    lowest: float | None

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
        return _until(self.watch)


def watch_page(season: Season) -> WatchPage:
    steps = RepairStep.objects.for_season(season).leading().with_home()
    steps = steps.prefetch_related(
        "companions__visit__owed_visit__agreement__home__customer", "companions__to_technician"
    )
    proposed = list(steps.proposed().order_by("from_starts_at", "to_starts_at", "pk"))
    watch = SeasonWatch.objects.filter(season=season).first()
    held = Visit.objects.for_season(season).held().with_home().order_by("held_since", "pk")
    promised, lowest = _promised(season, watch)
    return WatchPage(
        season=season,
        watch=watch,
        steps=proposed,
        ended=_ended(steps, watch),
        held=list(held),
        waiting=_waiting(season, watch, {step.visit_id for step in proposed}),
        promised=promised,
        lowest=lowest,
    )


def _ended(steps: RepairStepQuerySet, watch: SeasonWatch | None) -> list[RepairStep]:
    """What was lately overtaken or withdrawn, the newest first."""
    ended = steps.filter(state__in=ENDED)
    if watch is not None:
        ended = ended.filter(decided_at__gte=watch.looked_at - ENDED_SHOWN_FOR)
    return list(ended.order_by("-decided_at")[:12])


def _until(watch: SeasonWatch | None) -> dt.date | None:
    return dt.date.fromisoformat(watch.seen["until"]) if watch and watch.seen else None


def _promised(season: Season, watch: SeasonWatch | None) -> tuple[int, float | None]:
    """As they stand now: some may have moved since the look. One query."""
    until = _until(watch)
    if watch is None or until is None:
        return 0, None
    zone, one_day = season.branch.zone, dt.timedelta(days=1)
    tomorrow = watch.looked_at.astimezone(zone).date() + one_day
    standing = Visit.objects.for_season(season).filter(
        state__in=states.AGREED,
        starts_at__gte=moment_at(tomorrow, 0, zone),
        starts_at__lt=moment_at(until + one_day, 0, zone),
    )
    found = standing.order_by().aggregate(count=Count("pk"), lowest=Min("warmth"))
    return found["count"], found["lowest"]


def _waiting(season: Season, watch: SeasonWatch | None, asked: set[int]) -> list[Waiting]:
    branch = season.branch
    cold = set(watch.seen.get("too_cold", ())) - asked if watch else set()
    visits = Visit.objects.filter(pk__in=cold, warmth__lt=branch.hold_limit).placed()
    return [
        Waiting(visit, decided_on(day, branch.notice_days, branch.works_on))
        for visit in visits.with_home().order_by("starts_at")
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
