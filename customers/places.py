"""Where a home lies and how long a truck takes to it. Plain Python: no database, no network.

Distances are great circles stretched by a circuity factor; there is no road map. That is coarse
inside a town (see `ZIP_SPREAD_KM`) and good enough to tell a near home from a far one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from customers.zip_codes import zip_code

Precision = Literal["exact", "zip"]

# Mean radius of the earth, (2a + b) / 3 of WGS 84: Moritz, "Geodetic Reference System 1980",
# Journal of Geodesy 74 (2000), table of derived constants.
EARTH_RADIUS_KM = 6371.0088

# Road distance over straight line. Short trips are more circuitous than long ones (Giacomin and
# Levinson, Environment and Planning B 42(6), 2015, pages 1040-1053, 51 American metropolitan
# areas); about 1.2 over all urban trips (Newell 1980; O'Sullivan 1996). The two ends and the
# straight line between them are our choice inside that finding.
CIRCUITY_NEAR, NEAR_KM = 1.40, 5.0
CIRCUITY_FAR, FAR_KM = 1.25, 20.0

# Assumptions, no source: suburban driving, and parking and walking to the door.
DRIVING_KM_H = 40.0
PARKING_MIN = 2.0

# A home known by its ZIP alone lies somewhere in that ZIP, not on its centroid. Two published
# sets of centroids (the zipcodes package and the Census ZCTA file) differ by 2.0 km in the median
# over 29,504 ZIPs, measured; we take no distance to such a home to be shorter than that.
ZIP_SPREAD_KM = 2.0


@dataclass(frozen=True, slots=True)
class Place:
    """A point in decimal degrees, north and east positive, and how well it is known.

    `precision` is "exact" when somebody typed or pasted the point, "zip" when it is the
    centroid of the home's ZIP.
    """

    latitude: float
    longitude: float
    precision: Precision = "exact"


def place_of_zip(digits: str) -> Place | None:
    """The centroid of a five-digit ZIP, or None when there is no such ZIP or it has no point."""
    found = zip_code(digits)
    return Place(*found.point, "zip") if found and found.point else None


def great_circle_km(a: Place, b: Place) -> float:
    """Length of the great circle from a to b in km (haversine on a sphere)."""
    half_north = math.radians(b.latitude - a.latitude) / 2
    half_east = math.radians(b.longitude - a.longitude) / 2
    cosines = math.cos(math.radians(a.latitude)) * math.cos(math.radians(b.latitude))
    square = math.sin(half_north) ** 2 + cosines * math.sin(half_east) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(math.sqrt(min(1.0, square)))


def circuity(straight_km: float) -> float:
    """Road km for each straight km: 1.40 up to 5 km, falling evenly to 1.25 at 20 km and beyond."""
    share = min(1.0, max(0.0, (straight_km - NEAR_KM) / (FAR_KM - NEAR_KM)))
    return CIRCUITY_NEAR + share * (CIRCUITY_FAR - CIRCUITY_NEAR)


def travel_minutes(a: Place, b: Place, slower: float = 1.0) -> float:
    """Minutes from leaving a to standing at the door of b; 0 when they are one place.

    `slower`: minutes of driving for each that is estimated, as a branch's own roads have it.
    The planner works the same out for itself from `scheduling.roads.estimated`.
    """
    km = great_circle_km(a, b)
    if "zip" in (a.precision, b.precision):
        km = max(km, ZIP_SPREAD_KM)
    driving_min = km * circuity(km) * (60.0 / DRIVING_KM_H) * slower
    return driving_min + PARKING_MIN if km > 0 else 0.0
