"""Open-Meteo's hourly forecast: a second service, off unless a shop sets it up.

The keyless service is for non-commercial use only and its data are under CC BY 4.0 (its own
README), so a contractor needs a key or a server of her own, and the source is shown. The answer
is parallel arrays. The name of the key's parameter and `utc_offset_seconds` are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from weather.forecast import Forecast, ForecastHour, ForecastRefused, forecast_of
from weather.sources.service import Point, Said, check_near, fahrenheit, number, part

NAME = "open_meteo"
DAYS = 8  # as far as a forecast counts


@dataclass(frozen=True)
class OpenMeteo:
    """`key` may be empty where the server is one's own."""

    url: str
    key: str = field(default="", repr=False)
    name: str = NAME
    title: str = "Open-Meteo"
    attribution: str = "Weather data by Open-Meteo.com, CC BY 4.0"

    @property
    def headers(self) -> Mapping[str, str]:
        return {"Accept": "application/json", "User-Agent": "Redbud maintenance planning"}

    @property
    def secrets(self) -> Mapping[str, str]:
        return {"apikey": self.key} if self.key else {}

    def place_address(self, point: Point) -> str:
        return ""

    def own_address(self, point: Point, answer: Any) -> str:
        query = {
            "latitude": f"{point.latitude:.4f}",
            "longitude": f"{point.longitude:.4f}",
            "hourly": "temperature_2m,precipitation_probability,wind_speed_10m",
            "temperature_unit": "fahrenheit",
            "wind_speed_unit": "mph",
            "timezone": "GMT",
            "forecast_days": DAYS,
        }
        return f"{self.url.rstrip('/')}/v1/forecast?{urlencode(query)}"

    def read(self, answer: Any, point: Point, fetched_at: datetime) -> tuple[Forecast, Said]:
        check_near(point, Point(_number(answer, "latitude"), _number(answer, "longitude")))
        if part(answer, "utc_offset_seconds") != 0:
            raise ForecastRefused("The answer's times are not in UTC, which was asked for.")
        unit = str(part(answer, "hourly_units", "temperature_2m"))
        times = part(answer, "hourly", "time")
        columns = [
            _column(answer, name, len(times))
            for name in ("temperature_2m", "wind_speed_10m", "precipitation_probability")
        ]
        hours = [
            ForecastHour(_utc(text), fahrenheit(value, unit), wind, rain)
            for text, value, wind, rain in zip(times, *columns, strict=True)
            if value is not None
        ]
        # It does not say when it was made; its models are renewed every few hours.
        return forecast_of(self.name, fetched_at, fetched_at, hours)


def _column(answer: Any, name: str, length: int) -> list[float | None]:
    hourly = part(answer, "hourly")
    values = hourly.get(name, [None] * length)
    if not isinstance(values, list) or len(values) != length:
        raise ForecastRefused(f"The answer's hourly.{name} does not have one value for each time.")
    return [number(value) for value in values]


def _number(answer: Any, name: str) -> float:
    value = number(part(answer, name))
    if value is None:
        raise ForecastRefused(f"The answer's {name} is {answer[name]!r}, no number.")
    return value


def _utc(text: Any) -> datetime:
    try:
        return datetime.fromisoformat(text).replace(tzinfo=UTC)
    except (TypeError, ValueError):
        raise ForecastRefused(f"The answer's hourly.time has {text!r}, which is no time.") from None
