"""A run of a large branch in areas: which rows go into which, and the plan they come to."""

from __future__ import annotations

from collections import defaultdict

from scheduling import planner
from scheduling.areas import Driver, Stop, cut
from scheduling.models import RunState, SeasonRun
from scheduling.proposal import plan_of
from scheduling.reading import SeasonCannotBePlanned
from scheduling.snapshot import Snapshot

AREAS_SHARE = 0.7
"""The part of the seconds that goes to the areas; in the rest the whole is searched, for a home at
the edge of an area may be nearer to a technician of the next one."""
LARGE = 4000
"""From so many visits on a branch is planned in areas (docs/decisions/0014-plan-room.md)."""
VISITS_AN_AREA = 2500
MOST_AREAS = 8


def areas_for(visits: int) -> int:
    """How many areas a branch with so many open visits is planned in."""
    return 1 if visits < LARGE else min(MOST_AREAS, -(-visits // VISITS_AN_AREA))


def scopes(snapshot: Snapshot, areas: int) -> list[dict]:
    """What each area's run plans, by ids of rows."""
    found = cut(_stops(snapshot), _drivers(snapshot), areas)
    return [
        {
            "visits": sorted(stop.key for stop in area.stops),
            "technicians": sorted(driver.key for driver in area.drivers),
        }
        for area in found
    ]


def _stops(snapshot: Snapshot) -> list[Stop]:
    workdays, places = snapshot.problem.workdays, snapshot.places
    return [
        Stop(
            key=int(visit.key),
            latitude=places[visit.place].latitude,
            longitude=places[visit.place].longitude,
            minutes=visit.service_min,
            skills=visit.skills,
            bound_to=int(workdays[visit.kept.workday].technician)
            if visit.fixed and visit.kept
            else None,
        )
        for visit in snapshot.problem.visits
    ]


def _drivers(snapshot: Snapshot) -> list[Driver]:
    days: dict[int, list[planner.Workday]] = defaultdict(list)
    for workday in snapshot.problem.workdays:
        days[int(workday.technician)].append(workday)
    return [
        Driver(
            key=key,
            latitude=snapshot.places[its[0].start_place].latitude,
            longitude=snapshot.places[its[0].start_place].longitude,
            minutes=sum(day.end_min - day.start_min for day in its),
            skills=its[0].skills,
        )
        for key, its in days.items()
    ]


def joined(run: SeasonRun, snapshot: Snapshot) -> planner.Plan | None:
    """The plans of the areas as one. Raises SeasonCannotBePlanned when an area failed."""
    placings: list = []
    for part in run.parts.order_by("pk"):
        if part.state == RunState.FAILED:
            raise SeasonCannotBePlanned(f"One of the areas could not be planned. {part.trouble}")
        placings += part.best.get("placings", ())
    return plan_of(snapshot, {"placings": placings}, least_share=0.0)
