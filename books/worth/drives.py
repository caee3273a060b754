"""A technician's day of driving, and what each of its stops has of it. Pure.

A day's drive goes from where the technician starts to the first stop, from stop to stop, and back.
The way out and the way back are shared alike by all stops of the day, because none of them caused
it alone; the way between two stops is borne half by each. So the stops' parts add up to the day.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from customers.places import (
    CIRCUITY_FAR,
    CIRCUITY_NEAR,
    DRIVING_KM_H,
    EARTH_RADIUS_KM,
    FAR_KM,
    NEAR_KM,
    PARKING_MIN,
)

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


def straight_km(here: Floats, there: Floats) -> Floats:
    """Great circles [n] between degrees north and east [n, 2]; NaN: not known."""
    half = np.radians(there - here) / 2
    cosines = np.cos(np.radians(here[:, 0])) * np.cos(np.radians(there[:, 0]))
    square = np.sin(half[:, 0]) ** 2 + cosines * np.sin(half[:, 1]) ** 2
    km: Floats = 2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.minimum(1.0, square)))
    return km


def drives_min(here: Floats, there: Floats, least_km: Floats, slower: float = 1.0) -> Floats:
    """Minutes of many drives, each as customers.places.travel_minutes has it.

    `here`, `there`: degrees north and east [n, 2], NaN not known (then so is the drive);
    `least_km` [n]: no straight line counts as shorter.
    """
    km = np.maximum(straight_km(here, there), least_km)
    bends = np.interp(km, [NEAR_KM, FAR_KM], [CIRCUITY_NEAR, CIRCUITY_FAR])
    minutes = km * bends * (60.0 / DRIVING_KM_H) * slower + PARKING_MIN
    known: Floats = np.where(km == 0.0, 0.0, minutes)
    return known


def firsts(day: Ints) -> npt.NDArray[np.bool_]:
    """Which stops are the first of their day; stops of a day stand together."""
    return np.append(True, day[1:] != day[:-1])[: len(day)]


def shared_min(day: Ints, to_min: Floats, back_min: Floats) -> Ints:
    """Each stop's part of its day's drive, in whole minutes that add up to the day's.

    All [stops], in driving order within a day. `to_min`: the drive to the stop, from the one
    before or from where the day starts; `back_min`: the drive back from it, which counts for the
    last of a day. A day's sum is rounded once; its parts are what the running sum grows by.
    """
    if not len(day):
        return np.zeros(0, np.int64)
    first = firsts(day)
    last = np.append(first[1:], True)
    number = np.cumsum(first) - 1
    stops = np.bincount(number)
    between = np.where(first, 0.0, to_min) / 2
    out_and_back = np.where(first, to_min, 0.0) + np.where(last, back_min, 0.0)
    own = between + np.append(between[1:], 0.0)
    part = own + (np.bincount(number, out_and_back) / stops)[number]
    running = np.cumsum(part)
    before = (running - part)[first][number]
    # A hair's breadth of the floating sum decides no minute.
    grown = np.floor(np.round(running - before, 6) + 0.5).astype(np.int64)
    shared: Ints = grown - np.where(first, 0, np.append(0, grown[:-1]))
    return shared
