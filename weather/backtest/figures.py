"""What a policy did in one spring, and the mean of many."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from weather.backtest.desk import Desk


@dataclass(frozen=True)
class Outcome:
    """One policy in one spring under one seed."""

    warm_percent: float
    valid: int
    finish_doy: int
    broken: int
    trips_lost: int
    not_done: int
    notice_days: float  # mean notice of the visits that were made


@dataclass(frozen=True)
class Figures:
    """Means over springs of the means over seeds; counts are of all checks."""

    warm_percent: float
    worst_spring_percent: float
    worst_run_percent: float
    valid_before_85f: float
    finish_doy: float
    promises_broken: float
    trips_lost: float
    not_done: float
    mean_notice_days: float
    worst_spring: str


def outcome(desk: Desk) -> Outcome:
    """Read a desk after its last day. A spring without a visit finishes on its last day."""
    spring, visits = desk.outlook.spring, desk.visits
    warm = [visit for visit in visits if visit.warm]
    heat = desk.outlook.days if spring.heat_day is None else spring.heat_day
    tested = {visit.promise.check for visit in warm} if desk.return_trips else desk.visited
    not_done = desk.checks - len(tested)
    last = desk.outlook.days - 1 if not_done else max(visit.promise.day for visit in visits)
    return Outcome(
        warm_percent=100.0 * sum(visit.first for visit in warm) / desk.checks,
        valid=sum(visit.promise.day < heat for visit in warm),
        finish_doy=spring.days[last].timetuple().tm_yday,
        broken=desk.broken,
        trips_lost=len(visits) - len(warm),
        not_done=not_done,
        notice_days=fmean(v.promise.day - v.promise.made_on for v in visits) if visits else 0.0,
    )


def summed(outcomes: Mapping[str, Sequence[Outcome]]) -> Figures:
    """Figures of one policy from its outcomes by spring, one a seed."""
    warm = {name: fmean(one.warm_percent for one in runs) for name, runs in outcomes.items()}
    worst = min(warm, key=lambda name: warm[name])

    def mean(field: str) -> float:
        return fmean(fmean(getattr(one, field) for one in runs) for runs in outcomes.values())

    return Figures(
        warm_percent=fmean(warm.values()),
        worst_spring_percent=warm[worst],
        worst_run_percent=min(one.warm_percent for runs in outcomes.values() for one in runs),
        valid_before_85f=mean("valid"),
        finish_doy=mean("finish_doy"),
        promises_broken=mean("broken"),
        trips_lost=mean("trips_lost"),
        not_done=mean("not_done"),
        mean_notice_days=mean("notice_days"),
        worst_spring=worst,
    )
