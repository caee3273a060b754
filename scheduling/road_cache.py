"""What the road server once said, kept in one file: only drives of new places are asked for.

A file, not rows: a branch of 1,500 places has more than two million drives. It can be deleted at
any time; the next plan asks again.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from django.conf import settings

from customers.places import Place
from scheduling.road_server import Minutes, drives

Point = tuple[float, float]


@dataclass(frozen=True)
class KnownDrives:
    """`minutes[i, j]`: from points[i] to points[j], NaN where there is no road."""

    points: tuple[Point, ...]
    minutes: Minutes


def road_minutes(places: Sequence[Place], name: str) -> Minutes:
    """Minutes between all places, the places of `name` kept from last time.

    Raises RoadsUnknown when the server is needed and does not answer.
    """
    points = [(place.latitude, place.longitude) for place in places]
    path = _path(name)
    known = _read(path)
    if set(points) - set(known.points):
        known = _with(known, points)
        _write(path, known)
    number = {point: index for index, point in enumerate(known.points)}
    rows = [number[point] for point in points]
    return known.minutes[np.ix_(rows, rows)]


def known_drives(name: str) -> KnownDrives:
    """What the server said before; nobody is asked."""
    return _read(_path(name))


def forget_drives_of(points: Collection[tuple[float | None, float | None]]) -> int:
    """Take places out of every file: a customer's personal data were taken out. How many went."""
    return _keep(lambda point: point not in points)


def keep_drives_of(points: Collection[tuple[float | None, float | None]]) -> int:
    """Take out every other place: nobody lives there any more. How many went."""
    return _keep(lambda point: point in points)


def _keep(wanted: Callable[[Point], bool]) -> int:
    """A plan that is being gathered may write its places back; the next night takes them out."""
    gone = 0
    for path in Path(settings.ROAD_CACHE).glob("*.npz"):
        known = _read(path)
        stay = [index for index, point in enumerate(known.points) if wanted(point)]
        if len(stay) < len(known.points):
            points = tuple(known.points[index] for index in stay)
            _write(path, KnownDrives(points, known.minutes[np.ix_(stay, stay)]))
            gone += len(known.points) - len(stay)
    return gone


def _with(known: KnownDrives, points: Sequence[Point]) -> KnownDrives:
    """The drives between `points`: known ones are taken over, of new points both ways are asked."""
    wanted = set(points)
    old = [index for index, point in enumerate(known.points) if point in wanted]
    stay = [known.points[index] for index in old]
    new = sorted(wanted - set(stay))
    everywhere = [*stay, *new]
    minutes = np.zeros((len(everywhere), len(everywhere)), np.float32)
    minutes[: len(stay), : len(stay)] = known.minutes[np.ix_(old, old)]
    minutes[len(stay) :] = drives(_places(new), _places(everywhere))
    minutes[: len(stay), len(stay) :] = drives(_places(stay), _places(new))
    np.fill_diagonal(minutes, 0.0)
    return KnownDrives(tuple(everywhere), minutes)


def _places(points: Sequence[Point]) -> list[Place]:
    return [Place(*point) for point in points]


def _path(name: str) -> Path:
    server = hashlib.sha256(settings.OSRM_URL.encode()).hexdigest()[:12]
    return Path(settings.ROAD_CACHE) / f"{name}-{server}.npz"


def _read(path: Path) -> KnownDrives:
    """Nothing known when there is no file, or one that a full disk cut short."""
    try:
        with np.load(path) as kept:
            points = tuple((float(lat), float(lon)) for lat, lon in kept["points"])
            return KnownDrives(points, kept["minutes"])
    except (OSError, ValueError, KeyError, EOFError):
        return KnownDrives((), np.zeros((0, 0), np.float32))


def _write(path: Path, known: KnownDrives) -> None:
    """Whole or not at all: another worker may be reading."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=path.parent, suffix=".npz")
    with os.fdopen(handle, "wb") as file:
        np.savez(file, points=np.array(known.points).reshape(-1, 2), minutes=known.minutes)
    Path(draft).replace(path)
