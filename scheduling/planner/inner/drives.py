"""Drives: read off the table, or worked out from where the two places lie."""

from math import ceil, sqrt

from .compiled import inlined
from .tables import Tables


def road_minutes(
    straight_km: float, near_km: float, far_km: float, near: float, far: float,
    min_per_km: float, stop_min: float, step_min: float,
) -> float:  # fmt: skip
    """Minutes for a straight line; see `travel.Roads`. Plain Python, and compiled below."""
    if straight_km <= 0.0:
        return 0.0
    share = min(1.0, max(0.0, (straight_km - near_km) / (far_km - near_km)))
    minutes = straight_km * (near + share * (far - near)) * min_per_km + stop_min
    return ceil(minutes / step_min) * step_min if step_min > 0.0 else minutes


_road_minutes = inlined(road_minutes)


@inlined
def drive(tb: Tables, place: int, other: int) -> float:
    """Minutes from one place to another."""
    if not tb.compact:
        return float(tb.travel[place, other])
    return _worked_out(tb, place, other)


@inlined
def drive_to(tb: Tables, place: int, other: int) -> float:
    """Minutes to `place` from `other`: the same as `drive(tb, other, place)`, but quick to ask many
    times for one `place`, because its row of the turned table lies together in memory."""
    if not tb.compact:
        return float(tb.travel_to[place, other])
    return _worked_out(tb, other, place)


@inlined
def _worked_out(tb: Tables, place: int, other: int) -> float:
    if place == other:
        return 0.0
    row, column = tb.row[place], tb.row[other]
    if row >= 0 and column >= 0:
        return float(tb.travel[row, column])
    p, r = tb.points_km, tb.roads
    x, y = p[place, 0] - p[other, 0], p[place, 1] - p[other, 1]
    z = p[place, 2] - p[other, 2]
    km = max(sqrt(x * x + y * y + z * z), tb.least_km[place], tb.least_km[other])
    return _road_minutes(km, r[0], r[1], r[2], r[3], r[4], r[5], r[6])
