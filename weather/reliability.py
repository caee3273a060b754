"""Is it as warm as often as was said? Chances that were told, against what came. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from weather.climate import Climate
from weather.comparing import FIRST_H, LAST_H, first_of_each_day
from weather.forecast import Forecast
from weather.outlook import Outlook
from weather.skill import LEADS, Skill

CHECK_H = 1.0
BINS = 10
# Fewer cases than this say nothing about a frequency.
LEAST_CASES = 10
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Told:
    """`warmth` was told for an hour-long check; was it warm enough all through?"""

    warmth: float
    was_warm: bool


@dataclass(frozen=True, slots=True)
class Bin:
    """Checks that were told about the same warmth: the mean of it, and how many were warm."""

    told: float
    came: float
    cases: int


def told_and_came(
    forecasts: Iterable[Forecast],
    observed: Mapping[datetime, float],
    *,
    climate: Climate,
    skill: Skill,
    zone: ZoneInfo,
    test_temperature_f: float,
) -> Iterator[Told]:
    """Each working hour that could have been told and was observed, once for each days ahead."""
    for forecast in first_of_each_day(forecasts, zone):
        today = forecast.fetched_at.astimezone(zone).date()
        noons = [
            datetime(day.year, day.month, day.day, 12, tzinfo=zone)
            for day in (today + n * DAY for n in range(LEADS))
        ]
        table = Outlook(climate, forecast.fetched_at, forecast, skill).table(
            [noon.date() for noon in noons],
            test_temperature_f,
            clock_offset_h=[(noon.utcoffset() or timedelta()) / HOUR for noon in noons],
            span_h=CHECK_H,
        )
        for noon, row in zip(noons, table, strict=True):
            for hour in range(FIRST_H, LAST_H):
                begins = noon.replace(hour=hour).astimezone(UTC)
                before, after = observed.get(begins), observed.get(begins + HOUR)
                if begins < forecast.fetched_at or before is None or after is None:
                    continue
                yield Told(float(row[2 * hour]), min(before, after) >= test_temperature_f)


def binned(told: Iterable[Told]) -> tuple[Bin, ...]:
    """Ten classes of warmth told, the coldest first; those with few cases are left out."""
    classes: list[list[Told]] = [[] for _ in range(BINS)]
    for one in told:
        classes[min(int(one.warmth * BINS), BINS - 1)].append(one)
    return tuple(
        Bin(
            told=sum(one.warmth for one in cases) / len(cases),
            came=sum(one.was_warm for one in cases) / len(cases),
            cases=len(cases),
        )
        for cases in classes
        if len(cases) >= LEAST_CASES
    )
