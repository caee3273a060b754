"""Played technicians' drives: from stop to stop, on roads somewhat slower than the map has them."""

from __future__ import annotations

import datetime as dt
from random import Random

from customers.places import PARKING_MIN, Place, travel_minutes
from scheduling.models import Visit

# Of this project, no source: so many times what the map makes one expect, and how far they scatter.
SLOWER, SCATTER = 1.18, 0.2
UNKNOWN_MIN = 15


class PlayedDrives:
    """Where each technician stands on a day."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)  # noqa: S311  (repeatable, not secret)
        self._stands: dict[tuple[int, dt.date], Place] = {}

    def minutes_to(self, visit: Visit) -> int:
        """Of the drive to a visit with a slot; the technician then stands there."""
        technician, home = visit.technician, visit.owed_visit.home
        assert technician is not None
        key = technician.pk, visit.slot[0].astimezone(visit.season.branch.zone).date()
        here = self._stands.get(key) or Place(*technician.start_place)
        if home.latitude is None or home.longitude is None:
            return UNKNOWN_MIN
        there = self._stands[key] = Place(home.latitude, home.longitude)
        driving_min = max(travel_minutes(here, there) - PARKING_MIN, 0.0)
        return round(PARKING_MIN + driving_min * SLOWER * self.chance.lognormvariate(0.0, SCATTER))
