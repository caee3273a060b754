"""How long drives take: by road where an OSRM server is set, else worked out from the points.

Without a server, and for more than `MOST_BY_ROAD` places, no table is built: each drive is worked
out when the planner asks for it, so 10,000 homes need 10,000 points and not 100 million drives.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from math import ceil, isfinite

import numpy as np
import numpy.typing as npt
from django.conf import settings

from customers.places import (
    CIRCUITY_FAR,
    CIRCUITY_NEAR,
    DRIVING_KM_H,
    FAR_KM,
    NEAR_KM,
    PARKING_MIN,
    ZIP_SPREAD_KM,
    Place,
    travel_minutes,
)
from scheduling import planner
from scheduling.road_cache import KnownDrives, known_drives, road_minutes
from scheduling.road_server import Minutes, RoadsUnknown
from shop.models import Branch

log = logging.getLogger(__name__)
FIVE_MIN = 5.0
MOST_BY_ROAD = 1500  # 2.25 million drives, 9 MB; asked once in some 900 requests
NOTHING = np.zeros((0, 0), np.float32)
SAMPLE = 100  # places by whose drives the estimate of a larger branch is set

OUR_ROADS = planner.Roads(
    near_km=NEAR_KM,
    far_km=FAR_KM,
    near=CIRCUITY_NEAR,
    far=CIRCUITY_FAR,
    min_per_km=60.0 / DRIVING_KM_H,
    stop_min=PARKING_MIN,
    step_min=FIVE_MIN,
)
"""Drives are rounded up to five minutes: starts that people can read, and slack for traffic."""

Drives = npt.NDArray[np.float32] | planner.Travel
Floats = npt.NDArray[np.float64]


def travel_between(places: Sequence[Place], branch: Branch) -> Drives:
    """The drives of a problem, at the branch's own pace."""
    estimate, by_road = _asked(places, branch.slug)
    roads = estimate.roads
    roads = replace(roads, min_per_km=roads.min_per_km * branch.slower)
    estimate = replace(estimate, roads=roads)
    return estimate if by_road is None else _table(estimate, by_road * branch.slower)


def drives_between(places: Sequence[Place], branch: Branch) -> Callable[[int, int], float]:
    """Minutes from place to place by number, as the season's plan counts them, each worked out
    once and without asking anybody: what the road server said for a plan, else the estimate.

    Places may be added to the list while it is used.
    """
    known = known_drives(branch.slug) if settings.OSRM_URL else KnownDrives((), NOTHING)
    number = {point: index for index, point in enumerate(known.points)}

    @cache
    def drive(a: int, b: int) -> float:
        here, there = places[a], places[b]
        minutes = travel_minutes(here, there, branch.slower)
        one = number.get((here.latitude, here.longitude))
        other = number.get((there.latitude, there.longitude))
        if minutes and one is not None and other is not None:
            by_road = float(known.minutes[one, other])
            minutes = by_road * branch.slower + PARKING_MIN if isfinite(by_road) else minutes
        return ceil(minutes / FIVE_MIN) * FIVE_MIN if a != b else 0.0

    return drive


def driving_min(
    places: Sequence[Place], pairs: Sequence[tuple[int, int]], branch: Branch
) -> Floats:
    """What the map makes one expect of drives [pairs], in minutes: without parking, not rounded,
    and at no pace of the branch's own."""
    estimate, by_road = _asked(places, branch.slug)
    plain = replace(estimate, roads=replace(estimate.roads, stop_min=0.0, step_min=0.0))
    guessed = np.array([plain.minutes(a, b) for a, b in pairs], np.float64)
    if by_road is None or not pairs:
        return guessed
    found = by_road[tuple(np.transpose(pairs))]
    return np.where(np.isfinite(found), found, guessed)


def _asked(places: Sequence[Place], name: str) -> tuple[planner.Travel, Minutes | None]:
    """The estimate, and what the road server says of a branch that is not too large for it.

    `name`: of the branch, under which the server's answers are kept. Without them when it does not
    answer: a plan on estimated roads is better than none.
    """
    estimate = estimated(places)
    if not settings.OSRM_URL or not places:
        return estimate, None
    try:
        if len(places) > MOST_BY_ROAD:
            return _set_by_a_sample(estimate, places, name), None
        return estimate, road_minutes(places, name)
    except RoadsUnknown as trouble:
        log.warning("no road times (%s); travel is estimated", trouble)
        return estimate, None


def estimated(places: Sequence[Place]) -> planner.Travel:
    """Great circles, stretched by circuity; a home known by its ZIP alone is never nearer."""
    latitude = np.array([place.latitude for place in places], np.float64)
    longitude = np.array([place.longitude for place in places], np.float64)
    spread = [ZIP_SPREAD_KM if place.precision == "zip" else 0.0 for place in places]
    points = planner.earth_points(latitude, longitude)
    return planner.Travel(points, OUR_ROADS, least_km=np.array(spread, np.float64))


def _table(estimate: planner.Travel, driving: Minutes) -> Drives:
    """A table each way; pairs that no road connects keep their estimate."""
    minutes = np.ceil((driving + PARKING_MIN) / FIVE_MIN) * FIVE_MIN
    minutes = np.where(np.isfinite(minutes), minutes, estimate.table())
    # Places at one point are one stop; the server may put them on two streets.
    minutes[estimate.table() == 0.0] = 0.0
    return minutes.astype(np.float32)


def _set_by_a_sample(
    estimate: planner.Travel, places: Sequence[Place], name: str
) -> planner.Travel:
    """The estimate, quicker or slower by what the road server says of places here and there."""
    here = range(0, len(places), -(-len(places) // SAMPLE))
    driving = road_minutes([places[i] for i in here], f"{name}-sample")
    plain = replace(
        estimate, roads=replace(OUR_ROADS, stop_min=0.0, step_min=0.0),
        points_km=estimate.points_km[here], least_km=estimate.spreads_km[here],
    ).table()  # fmt: skip
    seen = np.isfinite(driving) & (plain > 0) & (driving > 0)
    if not seen.any():
        return estimate
    slower = float(np.median(driving[seen] / plain[seen]))
    return replace(estimate, roads=replace(OUR_ROADS, min_per_km=OUR_ROADS.min_per_km * slower))
