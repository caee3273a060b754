"""What was foretold against what came: one forecast a day, hour by hour. Pure. °F, aware times.

Hours of work only: those are the ones that decisions stand on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from weather.forecast import Forecast
from weather.skill import LEADS, Case

FIRST_H, LAST_H = 8, 18  # on the place's clock; the last is not included


@dataclass(frozen=True, slots=True)
class Compared:
    """One hour: `lead_days` ahead it was to be `forecast_f`; `observed_f` came."""

    at: datetime
    day: date
    lead_days: int
    forecast_f: float
    observed_f: float

    def case(self) -> Case:
        """As the learning takes it."""
        return Case(self.lead_days, self.forecast_f, self.observed_f, self.day.toordinal())


def compare(
    forecasts: Iterable[Forecast], observed: Mapping[datetime, float], zone: ZoneInfo
) -> Iterator[Compared]:
    """Every working hour of `first_of_each_day` that has been observed."""
    for forecast in first_of_each_day(forecasts, zone):
        today = forecast.fetched_at.astimezone(zone).date()
        for hour in forecast.hours:
            came_f, local = observed.get(hour.at), hour.at.astimezone(zone)
            lead = (local.date() - today).days
            if came_f is None or not FIRST_H <= local.hour < LAST_H or not 0 <= lead < LEADS:
                continue
            yield Compared(hour.at, local.date(), lead, hour.temperature_f, came_f)


def first_of_each_day(forecasts: Iterable[Forecast], zone: ZoneInfo) -> list[Forecast]:
    """The day's first: the one that the office sees in the morning. In order."""
    by_day: dict[date, Forecast] = {}
    for forecast in sorted(forecasts, key=lambda one: one.fetched_at):
        by_day.setdefault(forecast.fetched_at.astimezone(zone).date(), forecast)
    return [by_day[day] for day in sorted(by_day)]
