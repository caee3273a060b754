"""Drives by road, asked of an OSRM server.

Its table service (project-osrm.org, HTTP API v1) answers durations in seconds for at most some
100 places at once, so a table is asked in blocks.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import httpx
import numpy as np
import numpy.typing as npt
import stamina
from django.conf import settings

from customers.places import Place

BLOCK = 50  # sources and destinations of one request: together within OSRM's default of 100
Minutes = npt.NDArray[np.float32]


class RoadsUnknown(OSError):
    """The road server did not answer, or with a refusal."""


def drives(sources: Sequence[Place], destinations: Sequence[Place]) -> Minutes:
    """Driving minutes float32 [sources, destinations]; NaN where there is no road between."""
    minutes = np.full((len(sources), len(destinations)), np.nan, np.float32)
    try:
        with httpx.Client(timeout=20) as client:
            for rows, columns in itertools.product(_blocks(sources), _blocks(destinations)):
                seconds = _ask(client, sources[rows], destinations[columns])
                minutes[rows, columns] = np.array(seconds, np.float64) / 60
    except (httpx.HTTPError, ValueError) as trouble:
        raise RoadsUnknown(str(trouble)) from trouble
    return minutes


def _blocks(places: Sequence[Place]) -> Iterator[slice]:
    return (slice(first, first + BLOCK) for first in range(0, len(places), BLOCK))


@stamina.retry(on=httpx.HTTPError, attempts=3)
def _ask(
    client: httpx.Client, sources: Sequence[Place], destinations: Sequence[Place]
) -> list[list[float]]:
    """Seconds from each source to each destination; NaN where there is no road."""
    points = ";".join(f"{p.longitude:.6f},{p.latitude:.6f}" for p in (*sources, *destinations))
    from_ = ";".join(str(i) for i in range(len(sources)))
    to = ";".join(str(i) for i in range(len(sources), len(sources) + len(destinations)))
    reply = client.get(
        f"{settings.OSRM_URL.rstrip('/')}/table/v1/driving/{points}",
        params={"sources": from_, "destinations": to, "annotations": "duration"},
    )
    reply.raise_for_status()
    body = reply.json()
    if body.get("code") != "Ok":
        raise ValueError(f"the road server answered {body.get('code')}")
    return [[np.nan if s is None else s for s in row] for row in body["durations"]]
