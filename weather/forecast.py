"""An hourly forecast as plain values, whatever service it came from. Pure. °F, aware UTC times."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

# Colder or hotter than any place of the United States has been; outside it is another unit.
COLDEST_F, HOTTEST_F = -80.0, 140.0
# Between two hours further apart than this nothing is made up.
LONGEST_GAP = timedelta(hours=3)


class ForecastRefused(ValueError):
    """An answer that is no usable forecast; the message is a sentence for the office."""


@dataclass(frozen=True, slots=True)
class ForecastHour:
    """What is foretold for the hour that begins at `at`. None: not said."""

    at: datetime
    temperature_f: float
    wind_mph: float | None = None
    precipitation_percent: float | None = None
    conditions: str = ""


@dataclass(frozen=True)
class Forecast:
    """Hours in order. `updated_at`: when the service made it; `fetched_at`: when it was asked."""

    source: str
    updated_at: datetime
    fetched_at: datetime
    hours: tuple[ForecastHour, ...]

    def age_h(self, now: datetime) -> float:
        return max((now - self.updated_at) / timedelta(hours=1), 0.0)

    def temperatures_at(self, moments_h: FloatArray) -> FloatArray:
        """°F at hours since 1970 (UTC), any shape; NaN where nothing is foretold."""
        known_h, known_f = self._known
        found: FloatArray = np.interp(moments_h, known_h, known_f, left=np.nan, right=np.nan)
        for earlier in np.flatnonzero(np.diff(known_h) > LONGEST_GAP / timedelta(hours=1)):
            begins, ends = known_h[earlier], known_h[earlier + 1]
            found[(moments_h > begins) & (moments_h < ends)] = np.nan
        return found

    @cached_property
    def _known(self) -> tuple[FloatArray, FloatArray]:
        """Hours since 1970, and their °F."""
        known_h = np.array([hour.at.timestamp() / 3600.0 for hour in self.hours])
        return known_h, np.array([hour.temperature_f for hour in self.hours])


def forecast_of(
    source: str, updated_at: datetime, fetched_at: datetime, hours: Iterable[ForecastHour]
) -> tuple[Forecast, tuple[str, ...]]:
    """A forecast from hours as they came, and what was put right, in words.

    Past hours are left out; of two for the same time the later one counts. Raises ForecastRefused
    for temperatures that cannot be °F, or when nothing is left.
    """
    said: list[str] = []
    by_time: dict[datetime, ForecastHour] = {}
    begun = fetched_at - timedelta(hours=1)
    for hour in hours:
        if not COLDEST_F <= hour.temperature_f <= HOTTEST_F:
            raise ForecastRefused(
                f"{hour.temperature_f:g} °F at {hour.at:%Y-%m-%d %H:%M} UTC is no air temperature; "
                f"it must lie in {COLDEST_F:g} to {HOTTEST_F:g} °F."
            )
        at = hour.at.astimezone(UTC)
        if at in by_time:
            said.append(f"Two values for {at:%Y-%m-%d %H:%M} UTC; the later one counts.")
        if at > begun:
            by_time[at] = replace(hour, at=at)
    if not by_time:
        raise ForecastRefused("The forecast has no hour that is still to come.")
    ordered = tuple(by_time[at] for at in sorted(by_time))
    said += _gaps([hour.at for hour in ordered])
    return Forecast(source, updated_at, fetched_at, ordered), tuple(said)


def _gaps(times: Sequence[datetime]) -> list[str]:
    return [
        f"Nothing is foretold from {a:%Y-%m-%d %H:%M} to {b:%Y-%m-%d %H:%M} UTC."
        for a, b in pairwise(times)
        if b - a > LONGEST_GAP
    ]
