"""What a forecast service must be able to do; each stands in a file of its own beside this one.

A service speaks of addresses and of answers already read as JSON, never of connections: asking is
weather.fetching's. What cannot be used is refused in a sentence for the office.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Protocol

from weather.forecast import Forecast, ForecastRefused

EARTH_RADIUS_KM = 6371.0  # mean radius, IUGG
# A grid cell is a few kilometres wide; one further away than this is another place's.
FURTHEST_KM = 50.0
OLDEST = timedelta(hours=12)

Said = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """Where a branch lies, in degrees; west is negative."""

    latitude: float
    longitude: float

    def away_km(self, other: Point) -> float:
        """Great-circle distance (haversine)."""
        here, there = math.radians(self.latitude), math.radians(other.latitude)
        north = (there - here) / 2
        east = math.radians(other.longitude - self.longitude) / 2
        chord = math.sin(north) ** 2 + math.cos(here) * math.cos(there) * math.sin(east) ** 2
        return 2 * EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(chord)))


class Service(Protocol):
    """A place's hourly forecast from one service."""

    @property
    def name(self) -> str:
        """As kept in the rows."""

    @property
    def title(self) -> str:
        """For people."""

    @property
    def attribution(self) -> str:
        """Shown wherever its forecast is."""

    @property
    def headers(self) -> Mapping[str, str]:
        """Of every request."""

    @property
    def secrets(self) -> Mapping[str, str]:
        """Added to every address that is asked, and kept nowhere."""

    def place_address(self, point: Point) -> str:
        """Where to ask for the place's own address; empty: `own_address` is known at once."""

    def own_address(self, point: Point, answer: Any) -> str:
        """Of the hourly forecast. `answer`: of `place_address`, None without one."""

    def read(self, answer: Any, point: Point, fetched_at: datetime) -> tuple[Forecast, Said]:
        """The forecast, and what was put right. Raises ForecastRefused."""


def part(answer: Any, *names: str) -> Any:
    """A value inside an answer. Raises ForecastRefused naming what is missing."""
    found = answer
    for name in names:
        if not isinstance(found, Mapping) or name not in found:
            raise ForecastRefused(f"The answer has no {'.'.join(names)}.")
        found = found[name]
    return found


def moment(text: Any, name: str) -> datetime:
    """An aware time out of an answer. Raises ForecastRefused."""
    try:
        found = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        raise ForecastRefused(f"{name} is {text!r}, which is no time.") from None
    if found.tzinfo is None:
        raise ForecastRefused(f"{name} is {text!r}, which does not say its offset from UTC.")
    return found


def number(value: Any) -> float | None:
    """A finite number out of an answer; None: it is none, or not said."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if is_number and math.isfinite(value) else None


def check_near(point: Point, other: Point) -> None:
    """Raise ForecastRefused for an answer that is about another place."""
    away_km = point.away_km(other)
    if not away_km <= FURTHEST_KM:
        raise ForecastRefused(
            f"The answer is for a place {away_km:.0f} km away; check the branch's latitude and "
            f"longitude (allowed are {FURTHEST_KM:.0f} km)."
        )


def check_fresh(updated_at: datetime, fetched_at: datetime) -> None:
    """Raise ForecastRefused for a forecast that nobody has renewed for twelve hours."""
    age = fetched_at - updated_at
    if age > OLDEST:
        raise ForecastRefused(
            f"The service answers with a forecast made {age / timedelta(hours=1):.0f} hours ago; "
            f"it is not taken (at most {OLDEST / timedelta(hours=1):.0f} hours)."
        )


def fahrenheit(value: float, unit: str) -> float:
    """°F from a value and the unit that stands beside it. Raises ForecastRefused."""
    match unit:
        case "F" | "°F" | "wmoUnit:degF":
            return value
        case "C" | "°C" | "wmoUnit:degC":
            return value * 1.8 + 32.0
    raise ForecastRefused(f"The temperature's unit is {unit!r}; only °F and °C can be read.")
