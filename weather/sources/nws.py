"""The National Weather Service's hourly forecast and its stations' observations.

A point leads to a grid cell, the cell to its hourly forecast (api.weather.gov; the shapes as the
service's public issue threads quote them). The unit of a rain probability, a cell's polygon and
everything about observations are from memory. Its forecasts are in the public domain.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import urlencode, urlsplit

from weather.forecast import (
    COLDEST_F,
    HOTTEST_F,
    Forecast,
    ForecastHour,
    ForecastRefused,
    forecast_of,
)
from weather.sources.service import (
    Point,
    Said,
    check_fresh,
    check_near,
    fahrenheit,
    moment,
    number,
    part,
)

NAME = "nws"
DIGITS = 4  # more of a coordinate's digits are answered with 404
WIND = re.compile(r"(\d+(?:\.\d+)?)\s*mph$")
HALF_HOUR = timedelta(minutes=30)
CLOCKS_DIFFER = timedelta(minutes=15)  # two clocks, and the waiting between two tries
NAMED = 3  # so many missing hours are named; of more only the number


@dataclass(frozen=True)
class NationalWeatherService:
    """`contact`: an e-mail address or a page; the service wants to know whom to write to."""

    url: str
    contact: str
    name: str = NAME
    title: str = "National Weather Service"
    attribution: str = "Forecast: National Weather Service (weather.gov)"

    @property
    def headers(self) -> Mapping[str, str]:
        # Without an Accept header some of its caches answer with forecasts days old.
        return {
            "User-Agent": f"Redbud maintenance planning ({self.contact})",
            "Accept": "application/geo+json",
        }

    @property
    def secrets(self) -> Mapping[str, str]:
        return {}

    def place_address(self, point: Point) -> str:
        latitude, longitude = (_short(value) for value in (point.latitude, point.longitude))
        return f"{self._base}/points/{latitude},{longitude}"

    def own_address(self, point: Point, answer: Any) -> str:
        address = part(answer, "properties", "forecastHourly")
        if not isinstance(address, str) or urlsplit(address).netloc != urlsplit(self.url).netloc:
            raise ForecastRefused(f"The place's forecast would be at {address!r}, another service.")
        return address

    def read(self, answer: Any, point: Point, fetched_at: datetime) -> tuple[Forecast, Said]:
        said = _check_place(answer, point)
        updated_at = moment(part(answer, "properties", "updateTime"), "updateTime")
        if updated_at > fetched_at + CLOCKS_DIFFER:
            said += ("The forecast says that it was made later than now; it counts as made now.",)
        updated_at = min(updated_at, fetched_at)
        check_fresh(updated_at, fetched_at)
        hours, missing = _hours(part(answer, "properties", "periods"))
        forecast, put_right = forecast_of(self.name, updated_at, fetched_at, hours)
        return forecast, (*said, *_missing_words(missing), *put_right)

    def stations_address(self, forecast_address: str) -> str:
        """Of the stations around a grid cell, the nearest first."""
        return forecast_address.removesuffix("/forecast/hourly") + "/stations"

    def stations_of(self, answer: Any) -> list[str]:
        """The stations' names, the nearest first."""
        features = part(answer, "features")
        return [str(part(feature, "properties", "stationIdentifier")) for feature in features]

    def observations_address(self, station: str, since: datetime) -> str:
        query = urlencode({"start": since.astimezone(UTC).isoformat(timespec="seconds")})
        return f"{self._base}/stations/{station}/observations?{query}"

    def read_observations(self, answer: Any) -> dict[datetime, float]:
        """°F by full hour, UTC: of several within an hour the one nearest to it."""
        nearest: dict[datetime, tuple[timedelta, float]] = {}
        for feature in part(answer, "features"):
            seen = part(feature, "properties")
            value = number(part(seen, "temperature", "value"))
            if value is None:
                continue
            value_f = fahrenheit(value, str(part(seen, "temperature", "unitCode")))
            if not COLDEST_F <= value_f <= HOTTEST_F:  # a broken sensor
                continue
            at = moment(part(seen, "timestamp"), "timestamp").astimezone(UTC)
            hour = (at + HALF_HOUR).replace(minute=0, second=0, microsecond=0)
            nearest[hour] = min(nearest.get(hour, (HALF_HOUR * 2, 0.0)), (abs(at - hour), value_f))
        return {hour: value_f for hour, (_, value_f) in sorted(nearest.items())}

    @property
    def _base(self) -> str:
        return self.url.rstrip("/")


def _short(degrees: float) -> str:
    """At most four decimals, no zeros at the end: others are redirected."""
    return f"{degrees:.{DIGITS}f}".rstrip("0").rstrip(".")


def _check_place(answer: Any, point: Point) -> Said:
    geometry = answer.get("geometry") if isinstance(answer, Mapping) else None
    try:
        (ring,) = geometry["coordinates"] if isinstance(geometry, Mapping) else [[]]
        longitudes, latitudes = zip(*((float(x), float(y)) for x, y, *_ in ring), strict=True)
    except (KeyError, TypeError, ValueError):
        return ("The answer does not say which place it is for.",)
    middle = Point((min(latitudes) + max(latitudes)) / 2, (min(longitudes) + max(longitudes)) / 2)
    check_near(point, middle)
    return ()


def _hours(periods: Any) -> tuple[list[ForecastHour], list[datetime]]:
    """The hours with a temperature, and when the others begin."""
    if not isinstance(periods, list):
        raise ForecastRefused("The answer's properties.periods is no list of hours.")
    hours, missing = [], []
    for period in periods:
        at = moment(part(period, "startTime"), "startTime")
        value = number(part(period, "temperature"))
        if value is None:
            missing.append(at)
            continue
        hours.append(
            ForecastHour(
                at=at,
                temperature_f=fahrenheit(value, str(period.get("temperatureUnit"))),
                wind_mph=_wind_mph(period.get("windSpeed")),
                precipitation_percent=_percent(period.get("probabilityOfPrecipitation")),
                conditions=str(period.get("shortForecast") or ""),
            )
        )
    return hours, missing


def _missing_words(missing: list[datetime]) -> Iterator[str]:
    for at in missing[:NAMED]:
        yield f"No temperature for {at.astimezone(UTC):%Y-%m-%d %H:%M} UTC."
    if len(missing) > NAMED:
        yield f"No temperature for {len(missing) - NAMED} further hours."


def _wind_mph(text: Any) -> float | None:
    """The strongest of "5 mph" and "10 to 15 mph"; None: not said in miles per hour."""
    found = WIND.search(text) if isinstance(text, str) else None
    return float(found.group(1)) if found else None


def _percent(chance: Any) -> float | None:
    return number(chance.get("value")) if isinstance(chance, Mapping) else None
