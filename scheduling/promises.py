"""Promised times that a plan may move, at the branch's price and with notice."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from scheduling import planner
from scheduling.models import State, Visit
from scheduling.snapshot import Snapshot

# What was promised is moved at most, never left out.
NEVER_LEFT_OUT_MIN = 100_000.0


def with_movable_promises(snapshot: Snapshot, today: dt.date, price_min: float) -> Snapshot:
    """The same with promises that may move, those with notice before old and new time alike.

    A start counts as kept to the minute, for it was told to the minute. What is only offered stays:
    its customer is about to answer.
    """
    problem, branch = snapshot.problem, snapshot.season.branch
    rows = Visit.objects.for_season(snapshot.season).filter(state=State.PROMISED)
    promised = set(rows.values_list("pk", flat=True))
    first = (today + dt.timedelta(days=branch.notice_days) - snapshot.first_day).days
    visits = tuple(
        _movable(visit, first, price_min)
        if int(visit.key) in promised and _is_later(problem, visit, first)
        else visit
        for visit in problem.visits
    )
    prices = replace(problem.prices, kept_within_min=0.0)
    return replace(snapshot, problem=replace(problem, visits=visits, prices=prices))


def _is_later(problem: planner.Problem, visit: planner.Visit, first_day: int) -> bool:
    return visit.kept is not None and problem.workdays[visit.kept.workday].day >= first_day


def _movable(visit: planner.Visit, first_day: int, price_min: float) -> planner.Visit:
    return replace(
        visit,
        fixed=False,
        move_min=price_min,
        unplaced_min=NEVER_LEFT_OUT_MIN,
        due_from_day=max(visit.due_from_day, first_day),
    )
