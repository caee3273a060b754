"""A large branch cut into areas that are planned at the same time, technicians shared out. Pure.

The homes are halved again and again across the longer side of their map, each half as large as its
technicians can serve. Every technician is in one area, so the areas' plans together are a plan.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import groupby

Skills = frozenset[str]


@dataclass(frozen=True, slots=True)
class Stop:
    """A visit on the map: degrees, how long it takes, what it needs; `bound_to`: the technician
    (by key) to whom it is promised."""

    key: int
    latitude: float
    longitude: float
    minutes: float
    skills: Skills = frozenset()
    bound_to: int | None = None


@dataclass(frozen=True, slots=True)
class Driver:
    """A technician: where the day starts, what she can do, how many minutes she has in all."""

    key: int
    latitude: float
    longitude: float
    minutes: float
    skills: Skills = frozenset()


@dataclass(slots=True)
class Area:
    drivers: list[Driver] = field(default_factory=list)
    stops: list[Stop] = field(default_factory=list)

    def can(self, stop: Stop) -> bool:
        """Whether somebody here may come; a promise binds the visit to its technician."""
        if stop.bound_to is not None:
            return any(driver.key == stop.bound_to for driver in self.drivers)
        return any(stop.skills <= driver.skills for driver in self.drivers)


def cut(stops: Sequence[Stop], drivers: Sequence[Driver], areas: int) -> list[Area]:
    """At most so many areas; each has a technician, so there are never more than technicians."""
    count = min(areas, len(drivers))
    if count < 1:
        return []
    found = list(_halved(list(stops), list(drivers), count))
    for area in found:
        for stop in [stop for stop in area.stops if not area.can(stop)]:
            # Nobody here may come. Where nobody anywhere may, it stays and is left out here.
            able = [other for other in found if other.can(stop)]
            if able:
                area.stops.remove(stop)
                min(able, key=lambda other: _work_share(other)).stops.append(stop)
    return found


def _halved(stops: list[Stop], drivers: list[Driver], count: int) -> Iterable[Area]:
    if count == 1:
        yield Area(drivers, stops)
        return
    axis = _longer_axis(stops or drivers)
    first = count // 2
    near, far = _shared(drivers, axis, first, count - first)
    share = _minutes(near) / max(_minutes(drivers), 1e-9)
    edge = _edge(sorted(stops, key=lambda stop: (getattr(stop, axis), stop.key)), share)
    yield from _halved(edge[0], near, first)
    yield from _halved(edge[1], far, count - first)


def _longer_axis(points: Sequence[Stop] | Sequence[Driver]) -> str:
    """A degree of longitude is about three quarters of one of latitude where people cool homes."""
    north = [point.latitude for point in points]
    east = [point.longitude for point in points]
    wide = 0.75 * (max(east) - min(east))
    return "latitude" if max(north) - min(north) > wide else "longitude"


def _shared(
    drivers: list[Driver], axis: str, first: int, second: int
) -> tuple[list[Driver], list[Driver]]:
    """Each kind of technician is dealt to both sides, those who start nearer first; each side
    gets at least as many as it has areas."""
    kinds = sorted(drivers, key=lambda d: (sorted(d.skills), getattr(d, axis), d.key))
    share, seen = first / (first + second), 0
    near: list[Driver] = []
    far: list[Driver] = []
    for _, group in groupby(kinds, key=lambda d: sorted(d.skills)):
        alike = list(group)
        seen += len(alike)
        here = min(max(round(share * seen) - len(near), 0), len(alike))
        near += alike[:here]
        far += alike[here:]
    while len(near) < first:
        near.append(far.pop(0))
    while len(far) < second:
        far.append(near.pop())
    return near, far


def _edge(stops: list[Stop], share: float) -> tuple[list[Stop], list[Stop]]:
    """The stops in order, cut where this share of the work lies before."""
    wanted, before = share * sum(stop.minutes for stop in stops), 0.0
    for index, stop in enumerate(stops):
        if before + stop.minutes / 2 > wanted:
            return stops[:index], stops[index:]
        before += stop.minutes
    return stops, []


def _minutes(drivers: Sequence[Driver]) -> float:
    return sum(driver.minutes for driver in drivers)


def _work_share(area: Area) -> float:
    return sum(stop.minutes for stop in area.stops) / max(_minutes(area.drivers), 1e-9)
