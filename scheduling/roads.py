"""Travel minutes between places: by road where an OSRM server is set, else estimated.

OSRM's table service (project-osrm.org, HTTP API v1) answers durations in
seconds for at most some 100 places at once, so the table is asked in blocks.
"""

from __future__ import annotations

import itertools
import logging
from collections.abc import Sequence

import httpx
import numpy as np
import numpy.typing as npt
import stamina
from django.conf import settings

from customers.places import PARKING_MIN, Place, travel_matrix

log = logging.getLogger(__name__)
FIVE_MIN = 5.0
BLOCK = 50  # sources and destinations of one request: together within OSRM's default of 100


def in_whole_fives(minutes: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """Drives rounded up to five minutes: starts that people can read, and slack for traffic."""
    return np.ceil(minutes / FIVE_MIN).astype(np.float32) * np.float32(FIVE_MIN)


def travel_table(places: Sequence[Place]) -> npt.NDArray[np.float32]:
    """Minutes from each place to each: float32 [n, n].

    Falls back to the estimate when the road server does not answer: a plan on
    estimated roads is better than none.
    """
    estimate = travel_matrix(places)
    if not settings.OSRM_URL or not places:
        return estimate
    try:
        return _by_road(places, estimate)
    except (httpx.HTTPError, ValueError) as trouble:
        log.warning("no road times (%s); travel is estimated", trouble)
        return estimate


def _by_road(places: Sequence[Place], estimate: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """The table of the road server; pairs that it cannot connect keep their estimate."""
    minutes = estimate.copy()
    blocks = [range(i, min(i + BLOCK, len(places))) for i in range(0, len(places), BLOCK)]
    with httpx.Client(timeout=20) as client:
        for rows, columns in itertools.product(blocks, blocks):
            answer = _ask(client, [places[i] for i in (*rows, *columns)], len(rows))
            asked = np.array(answer, dtype=np.float64) / 60 + PARKING_MIN
            known = np.isfinite(asked)
            minutes[rows.start : rows.stop, columns.start : columns.stop][known] = asked[known]
    np.fill_diagonal(minutes, 0.0)
    return minutes


@stamina.retry(on=httpx.HTTPError, attempts=3)
def _ask(client: httpx.Client, places: Sequence[Place], sources: int) -> list[list[float]]:
    """Seconds from the first `sources` places to the others; NaN where there is no road."""
    points = ";".join(f"{p.longitude:.6f},{p.latitude:.6f}" for p in places)
    from_ = ";".join(str(i) for i in range(sources))
    to = ";".join(str(i) for i in range(sources, len(places)))
    reply = client.get(
        f"{settings.OSRM_URL.rstrip('/')}/table/v1/driving/{points}",
        params={"sources": from_, "destinations": to, "annotations": "duration"},
    )
    reply.raise_for_status()
    body = reply.json()
    if body.get("code") != "Ok":
        raise ValueError(f"the road server answered {body.get('code')}")
    return [[np.nan if s is None else s for s in row] for row in body["durations"]]
