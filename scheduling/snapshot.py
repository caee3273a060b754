"""The only bridge between rows and the planner: Problem out, Plan back (scheduling.proposal)."""

from __future__ import annotations

import datetime as dt
from copy import copy
from dataclasses import dataclass
from functools import cached_property

from customers.places import Place
from kit.when import days_between, minute_of_day, moment_at
from scheduling import planner, states
from scheduling.models import Season, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.reading import SeasonCannotBePlanned, SeasonReader
from scheduling.roads import travel_between
from weather.outlook import Outlook


@dataclass(frozen=True)
class Scope:
    """Which part of a season: ids of visits and of technicians. None: all of them."""

    visits: frozenset[int] | None = None
    technicians: frozenset[int] | None = None

    @classmethod
    def of(cls, kept: dict) -> Scope:
        """From the row of a run; an empty one is the whole season."""
        if not kept:
            return EVERYTHING
        return cls(frozenset(kept["visits"]), frozenset(kept["technicians"]))

    def has_visit(self, pk: int) -> bool:
        return self.visits is None or pk in self.visits

    def has_technician(self, key: int | str) -> bool:
        return self.technicians is None or int(key) in self.technicians


EVERYTHING = Scope()


@dataclass(frozen=True)
class Snapshot:
    """A planner problem with the row ids that it was made from.

    Days are counted from `first_day`, minutes on the branch's wall clock.
    """

    season: Season
    first_day: dt.date
    problem: planner.Problem
    versions: dict[str, int]
    outlook: Outlook
    places: tuple[Place, ...]

    @cached_property
    def visit_index(self) -> dict[int, int]:
        return {int(visit.key): index for index, visit in enumerate(self.problem.visits)}

    @cached_property
    def workday_index(self) -> dict[tuple[int, int], int]:
        return index_of(self.problem.workdays)

    def day_of(self, index: int) -> dt.date:
        return self.first_day + dt.timedelta(days=index)


def index_of(workdays: tuple[planner.Workday, ...]) -> dict[tuple[int, int], int]:
    """(technician, day) -> the workday's index."""
    return {(int(w.technician), w.day): index for index, w in enumerate(workdays)}


def take_snapshot(
    season: Season,
    now: dt.datetime,
    scope: Scope = EVERYTHING,
    *,
    test_temperature_f: int | None = None,
) -> Snapshot:
    """The season as one problem: every open visit on every technician-day after today.

    `test_temperature_f`: what if the branch had this one; None: it has its own.
    """
    today = now.astimezone(season.branch.zone).date()
    first_day = max(season.starts_on, today + dt.timedelta(days=1))
    days = days_between(first_day, season.ends_on)
    if not days:
        raise SeasonCannotBePlanned(f"{season} ended on {season.ends_on:%B %-d, %Y}.")
    branch = copy(season.branch)
    branch.test_temperature_f = test_temperature_f or branch.test_temperature_f
    reader = SeasonReader(branch, days, now)
    rows = [row for row in _open_visits(season, first_day) if scope.has_visit(row.pk)]
    standing = _standing_slots(season, rows, first_day)
    also = {(technician, day) for technician, day, _ in standing.values()}
    workdays = tuple(day for day in reader.workdays(also) if scope.has_technician(day.technician))
    known = index_of(workdays)
    kept = {
        pk: planner.KeptSlot(known[technician, day], minute)
        for pk, (technician, day, minute) in standing.items()
        if (technician, day) in known
    }
    visits = tuple(reader.visit(row, kept.get(row.pk)) for row in rows)
    problem = planner.Problem(
        days=len(days),
        travel_min=travel_between(reader.places.listed, season.branch),
        workdays=workdays,
        visits=visits,
        warmth=reader.warmth(),
        least_warmth=season.branch.least_warmth,
        prices=planner.Prices(),
    )
    versions = {str(row.pk): row.version for row in rows}
    places = tuple(reader.places.listed)
    return Snapshot(season, first_day, problem, versions, reader.outlook, places)


def _open_visits(season: Season, first_day: dt.date) -> VisitQuerySet:
    """What may be placed or is agreed, with all that the problem needs, in two queries.

    What was agreed for a day before `first_day` is on its way and no plan's business.
    """
    first = moment_at(first_day, 0, season.branch.zone)
    return (
        Visit.objects.for_season(season)
        .filter(state__in=(*states.OPEN, *states.AGREED, states.MISSED))
        .exclude(state__in=states.AGREED, starts_at__lt=first)
        .exclude(owed_visit__agreement__home__latitude=None)
        .select_related("owed_visit__agreement__home")
        .prefetch_related("owed_visit__agreement__systems")
        .order_by("pk")
    )


def _standing_slots(
    season: Season, rows: list[Visit], first_day: dt.date
) -> dict[int, tuple[int, int, int]]:
    """Row id -> (technician, day, start minute) of visits that stand in the planned days."""
    zone, found = season.branch.zone, {}
    for row in rows:
        if row.starts_at and row.technician_id and row.state != states.MISSED:
            day = (row.starts_at.astimezone(zone).date() - first_day).days
            if day >= 0:
                found[row.pk] = (row.technician_id, day, minute_of_day(row.starts_at, zone))
    return found
