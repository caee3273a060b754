"""Travel without a table of all pairs: from where places lie, each drive when it is asked for.

A table of 10,000 places holds 100 million drives (400 MB); their points take 240 kB.
"""

from dataclasses import astuple, dataclass
from math import sqrt

import numpy as np
import numpy.typing as npt

from .inner.drives import road_minutes

EARTH_KM = 6371.0088
"""Mean radius: Moritz, Geodetic Reference System 1980, Journal of Geodesy 74 (2000)."""
Floats = npt.NDArray[np.float64]
Drives = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Roads:
    """From a straight line to minutes: road km for each straight km fall evenly from `near` (up to
    `near_km`) to `far` (from `far_km` on). `stop_min`: parking, with every drive between two
    places. `step_min`: drives are rounded up to whole steps; 0 for none."""

    near_km: float = 5.0
    far_km: float = 20.0
    near: float = 1.40
    far: float = 1.25
    min_per_km: float = 1.5
    stop_min: float = 2.0
    step_min: float = 0.0

    def minutes(self, straight_km: float) -> float:
        return road_minutes(straight_km, *astuple(self))


@dataclass(frozen=True, eq=False)
class Travel:
    """Drives between places by their points.

    `points_km`: float64 [places, 3]; in a plane the third is 0, on the earth see `earth_points`.
    `least_km`: float64 [places], no straight line from or to a place counts as shorter (a home
    known by its ZIP alone); None: 0. `known`: places whose drives are known better, one way and the
    other, and `known_min`: float32 [known, known] minutes from row to column.
    """

    points_km: Floats
    roads: Roads = Roads()
    least_km: Floats | None = None
    known: tuple[int, ...] = ()
    known_min: Drives | None = None

    @property
    def places(self) -> int:
        return len(self.points_km)

    @property
    def spreads_km(self) -> Floats:
        return np.zeros(self.places) if self.least_km is None else self.least_km

    def minutes(self, place: int, other: int) -> float:
        """One drive, the same to the last digit as the compiled search counts it."""
        if place == other:
            return 0.0
        if self.known_min is not None and place in self.known and other in self.known:
            return float(self.known_min[self.known.index(place), self.known.index(other)])
        x, y, z = (self.points_km[place] - self.points_km[other]).tolist()
        spreads = self.spreads_km
        km = max(sqrt(x * x + y * y + z * z), float(spreads[place]), float(spreads[other]))
        return self.roads.minutes(km)

    def table(self) -> Drives:
        """All pairs, float32 [places, places], for whoever needs a table."""
        return np.array([self.table_of(place) for place in range(self.places)], np.float32)

    def table_of(self, place: int) -> Floats:
        """Drives from one place to all [places]."""
        lines = self.points_km - self.points_km[place]
        spreads, roads = self.spreads_km, self.roads
        km = np.maximum(np.sqrt((lines * lines).sum(axis=1)), spreads)
        km = np.maximum(km, spreads[place])
        bends = np.interp(km, [roads.near_km, roads.far_km], [roads.near, roads.far])
        minutes = np.where(km > 0, km * bends * roads.min_per_km + roads.stop_min, 0.0)
        if roads.step_min > 0:
            minutes = np.ceil(minutes / roads.step_min) * roads.step_min
        if self.known_min is not None and place in self.known:
            minutes[list(self.known)] = self.known_min[self.known.index(place)]
        minutes[place] = 0.0
        return minutes


def earth_points(latitude: Floats, longitude: Floats) -> Floats:
    """Points [n, 3] in km from the middle of the earth. Degrees in. Straight lines between them are
    great circles but for 1 part in 100,000 at 100 km."""
    north, east = np.radians(latitude), np.radians(longitude)
    flat = np.cos(north)
    sphere = [flat * np.cos(east), flat * np.sin(east), np.sin(north)]
    return EARTH_KM * np.stack(sphere, axis=1)
