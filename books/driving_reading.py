"""A season's drives that the phones have timed, beside what the map makes one expect of them."""

from __future__ import annotations

import numpy as np

from books.stops_reading import HOME, MANY_DAYS, start_places, stops_of
from books.worth.drives import firsts, straight_km
from books.worth.paces import TimedDrives
from customers.models import Precision
from customers.places import Place
from scheduling.models import Season
from scheduling.roads import driving_min

WHERE = (
    "technician_id", f"{HOME}__latitude", f"{HOME}__longitude", f"{HOME}__precision", f"{HOME}__zip"
)  # fmt: skip
LEAST_MIN = 1.0  # expected: from door to door parking is all that a drive takes


def timed_drives(season: Season) -> TimedDrives:
    """Drives between places that are exactly known. A fixed number of queries."""
    stops = stops_of(season, *WHERE)
    rows = stops.more
    begins = start_places(season.branch)
    key = np.array([row[0] * MANY_DAYS for row in rows], np.int64) + np.array(stops.day, np.int64)
    ends = [_exact(*row[1:4]) for row in rows]
    first = firsts(key)
    numbers: dict[tuple[float, float], int] = {}
    pairs: list[tuple[int, int]] = []
    kept: list[int] = []
    for n, there in enumerate(ends):
        before = begins[rows[n][0]] if first[n] else ends[n - 1]
        if before and there and stops.told_min[n] > 0:
            start = numbers.setdefault(before, len(numbers))
            pairs.append((start, numbers.setdefault(there, len(numbers))))
            kept.append(n)
    expected_min = driving_min([Place(*point) for point in numbers], pairs, season.branch)
    points = np.array(list(numbers), np.float64).reshape(-1, 2)
    starts, ends_at = np.array(pairs, np.int64).reshape(-1, 2).T
    far = expected_min >= LEAST_MIN
    return TimedDrives(
        expected_min=expected_min[far],
        took_min=stops.told_min[kept][far],
        straight_km=straight_km(points[starts], points[ends_at])[far],
        area=[rows[n][4] for n, counts in zip(kept, far, strict=True) if counts],
    )


def _exact(
    latitude: float | None, longitude: float | None, precision: str
) -> tuple[float, float] | None:
    """None: known by its ZIP alone, or not at all; from there no drive can be expected."""
    if latitude is None or longitude is None or precision == Precision.ZIP:
        return None
    return latitude, longitude
