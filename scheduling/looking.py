"""A season under one outlook: what stands too cold, what is held, and what could be done.

No row is written here; scheduling.repairing puts what is found into words.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from scheduling import planner
from scheduling.models import Season, State, Visit
from scheduling.notice import must_be_decided, promised_until
from scheduling.outlooks import forecast_at, source_words
from scheduling.planner.score import warmth_of
from scheduling.short_notice import AHEAD_DAYS, MOST_TRIED
from scheduling.snapshot import Snapshot, take_snapshot

# After a refusal the office is asked again about the same time when it has turned this much colder.
ASKED_AGAIN_AFTER = 0.1

# A change of warmth that is worth a word.
NOTABLE = 0.1

Refused = Mapping[int, float]
"""Visit -> the warmth at which the office chose to leave it where it stands."""


@dataclass(frozen=True)
class Look:
    """A season under one outlook, from tomorrow on."""

    season: Season
    now: dt.datetime
    snapshot: Snapshot

    @cached_property
    def today(self) -> dt.date:
        return self.now.astimezone(self.season.branch.zone).date()

    @cached_property
    def rows(self) -> dict[int, Visit]:
        """The visits of the problem by their row's id, with all that their steps say."""
        return Visit.objects.for_season(self.season).with_home().in_bulk(
            list(map(int, self.snapshot.versions))
        )  # fmt: skip

    def row(self, index: int) -> Visit:
        return self.rows[int(self.problem.visits[index].key)]

    @property
    def problem(self) -> planner.Problem:
        return self.snapshot.problem

    @property
    def source(self) -> str:
        return source_words(self.snapshot.outlook, self.season.branch.zone)

    @property
    def forecast_at(self) -> dt.datetime | None:
        return forecast_at(self.snapshot.outlook)

    @cached_property
    def last_promised(self) -> dt.date:
        branch = self.season.branch
        return promised_until(self.today, branch.promise_days, branch.works_on)

    @cached_property
    def warmths(self) -> dict[int, float]:
        """Standing visit that needs warmth (by index) -> its warmth now."""
        return {
            index: warmth_of(self.problem, planner.Slot(index, v.kept.workday, v.kept.start_min))
            for index, v in enumerate(self.problem.visits)
            if v.kept is not None and v.warmth_class is not None
        }

    def day(self, index: int) -> dt.date:
        """The day on which a standing visit stands."""
        kept = self.problem.visits[index].kept
        assert kept is not None
        return self.snapshot.day_of(self.problem.workdays[kept.workday].day)

    @cached_property
    def promised(self) -> list[int]:
        """What customers were told of within the days that are promised ahead."""
        return [
            i for i, v in enumerate(self.problem.visits)
            if v.fixed and self.day(i) <= self.last_promised
        ]  # fmt: skip

    @cached_property
    def too_cold(self) -> list[int]:
        """Promises under the hold limit, near or far."""
        limit = self.season.branch.hold_limit
        return [i for i in self.promised if self.warmths.get(i, 1.0) < limit]

    def to_decide(self, refused: Refused) -> list[int]:
        """Those of them that can wait no longer, unless the office chose to leave them."""
        branch = self.season.branch
        return [
            i for i in self.too_cold
            if must_be_decided(self.day(i), self.today, branch.notice_days, branch.works_on)
            and self.warmths[i] < refused.get(self.row(i).pk, 2.0) - ASKED_AGAIN_AFTER
        ]  # fmt: skip

    @cached_property
    def held(self) -> list[int]:
        pks = [i for i, v in enumerate(self.problem.visits) if v.kept is None]
        return [i for i in pks if self.row(i).state == State.HELD]

    def policy(self, last_day: dt.date) -> planner.Policy:
        branch, first = self.season.branch, self.snapshot.first_day
        notice = (self.today + dt.timedelta(days=branch.notice_days) - first).days
        return planner.Policy(
            hold_limit=branch.hold_limit,
            notice_day=max(notice, 0),
            last_day=(last_day - first).days,
            at_short_notice=frozenset(
                i for i, v in enumerate(self.problem.visits)
                if (row := self.rows.get(int(v.key))) and row.owed_visit.home.short_notice
            ),
        )  # fmt: skip

    @cached_property
    def may_come_sooner(self) -> list[int]:
        """Whom a free time of the coming days could be offered, the latest first."""
        waiting = [i for i, v in enumerate(self.problem.visits) if self._may_come_sooner(i, v)]
        last = self.problem.days
        return sorted(waiting, key=lambda i: -self._day_or(i, last))[:MOST_TRIED]

    def _may_come_sooner(self, index: int, visit: planner.Visit) -> bool:
        row = self.row(index)
        willing = row.owed_visit.home.short_notice and not visit.fixed and row.state != State.HELD
        return willing and self._day_or(index, self.problem.days) > AHEAD_DAYS

    def _day_or(self, index: int, without: int) -> int:
        """The number of its day; `without`: it has none."""
        kept = self.problem.visits[index].kept
        return without if kept is None else self.problem.workdays[kept.workday].day

    def proposals(self, refused: Refused) -> list[planner.Proposal]:
        """Repairs, then releases, then fills, each beside those before it."""
        sooner = self.today + dt.timedelta(days=AHEAD_DAYS)
        found = planner.repair(
            self.problem, self.to_decide(refused), self.policy(self.last_promised)
        )
        # What is held was promised nothing yet, so any day of the season will do.
        found += planner.release(self.problem, self.held, self.policy(self.season.ends_on), found)
        gone = {move.visit for each in found for move in each.moves}
        waiting = [i for i in self.may_come_sooner if i not in gone]
        limit = self.season.branch.pull_forward_limit
        policy = replace(self.policy(sooner), at_short_notice=frozenset())
        return found + planner.fill(self.problem, waiting, policy, found, limit)


def look_at(season: Season, now: dt.datetime) -> Look:
    """Raises SeasonCannotBePlanned without a climate, or when the season is over."""
    return Look(season, now, take_snapshot(season, now))


def seen_by(look: Look) -> dict:
    """What the page says of a look: counts, and how the promises' warmth changed since the last."""
    promised = [look.warmths[i] for i in look.promised if i in look.warmths]
    changes = [
        now - before
        for i in look.promised
        if (now := look.warmths.get(i)) is not None and (before := look.row(i).warmth) is not None
    ]
    return {
        "promised": len(look.promised),
        "until": look.last_promised.isoformat(),
        "lowest": round(min(promised), 4) if promised else None,
        "colder": sum(change <= -NOTABLE for change in changes),
        "warmer": sum(change >= NOTABLE for change in changes),
        "too_cold": [look.row(i).pk for i in look.too_cold],
        "held": len(look.held),
    }
