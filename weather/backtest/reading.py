"""A CSV of time and °F into hourly readings in local standard time.

Columns are guessed by name, or named by the caller. Several readings within an hour: the one
nearest to the full hour counts. Gaps of up to three hours are filled by straight lines.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np

from weather.backtest.columns import (
    Columns,
    TableRow,
    find_columns,
    only_rows,
    table_rows,
)
from weather.backtest.moments import Clock, standard_time
from weather.backtest.refusal import ReadingsRefused
from weather.blending import FloatArray

__all__ = ["Gap", "Readings", "ReadingsRefused", "read_readings"]

HOUR = timedelta(hours=1)
LONGEST_FILLED_H = 3
OFFSETS_SEEN = 1000  # rows all through the file that are asked for their UTC offset
COLDEST_F, HOTTEST_F = -100.0, 140.0  # a little beyond the world's records
# Where there are air conditioners, the warmest hour of a month between mid-April and mid-October
# is above this (own choice, no source); only there is a cool file one of °C.
COOLEST_HOTTEST_F, WARM_SEASON_DAYS = 50.0, 30
WARM_SEASON = (4, 15), (10, 15)
MISSING = frozenset({"", "NA", "NAN", "NULL", "M", "-9999", "-9999.0"})


@dataclass(frozen=True)
class Gap:
    """Hours without a reading that were too many to fill."""

    begins: datetime
    hours: int

    @property
    def words(self) -> str:
        return f"{self.hours} hours missing from {self.begins:%Y-%m-%d %H:%M}"


@dataclass(frozen=True)
class Readings:
    """Hourly °F from `first` on, in local standard time without a zone; NaN where missing."""

    first: datetime
    values_f: FloatArray
    utc_offset_h: float = 0.0
    gaps: tuple[Gap, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def last_day(self) -> date:
        return (self.first + (len(self.values_f) - 1) * HOUR).date()

    def to_dict(self) -> dict[str, Any]:
        """Plain values, ready for JSON, to a tenth of a degree; `from_dict` is the way back."""
        known = ~np.isnan(self.values_f)
        pairs = zip(self.values_f.tolist(), known.tolist(), strict=True)
        return {
            "first": self.first.isoformat(),
            "values_f": [round(value, 1) if there else None for value, there in pairs],
            "utc_offset_h": self.utc_offset_h,
            "gaps": [[gap.begins.isoformat(), gap.hours] for gap in self.gaps],
            "notes": list(self.notes),
        }

    @classmethod
    def from_dict(cls, values: Mapping[str, Any]) -> Readings:
        """The readings that `to_dict` wrote."""
        return cls(
            datetime.fromisoformat(values["first"]),
            np.array(values["values_f"], dtype=np.float64),
            values["utc_offset_h"],
            tuple(Gap(datetime.fromisoformat(begins), hours) for begins, hours in values["gaps"]),
            tuple(values["notes"]),
        )

    def days(self) -> list[date]:
        """Every day from the first reading to the last."""
        first = self.first.date()
        return [first + timedelta(days=n) for n in range((self.last_day - first).days + 1)]

    def table(self, days: Iterable[date]) -> FloatArray:
        """The 24 hours of each day, shape [days, 24]; NaN outside the readings."""
        midnight = datetime.combine(self.first.date(), datetime.min.time())
        lead = round((self.first - midnight) / HOUR)
        length = 24 * len(self.days())
        whole = np.full(length, np.nan)
        whole[lead : lead + len(self.values_f)] = self.values_f
        by_day = whole.reshape(-1, 24)
        rows = [(day - midnight.date()).days for day in days]
        found = np.full((len(rows), 24), np.nan)
        for n, row in enumerate(rows):
            if 0 <= row < len(by_day):
                found[n] = by_day[row]
        return found


def read_readings(
    text: str,
    *,
    clock: Clock | None = None,
    celsius: bool = False,
    time_column: str = "",
    temperature_column: str = "",
    only: str = "",
) -> Readings:
    """The readings of one place. `only` is COLUMN=VALUE where a file holds several places.

    Raises ReadingsRefused, naming row and column where there is one.
    """
    rows = table_rows(text)
    columns = find_columns(rows, time_column, temperature_column, celsius)
    kept = only_rows(rows, only)
    sample = kept[:: max(1, len(kept) // OFFSETS_SEEN)]
    clock = (clock or Clock()).fixed_by(row.cell(columns.time) for row in sample)
    read = _by_hour(kept, columns, clock, celsius)
    notes = (*columns.notes, clock.words, *([] if celsius else _check_units(read, columns)))
    assert clock.utc_offset_h is not None
    hours = {hour: value_f for hour, (value_f, _) in read.items()}
    return _filled(hours, clock.utc_offset_h, notes)


def _by_hour(
    rows: list[TableRow], columns: Columns, clock: Clock, celsius: bool
) -> dict[datetime, tuple[float, int]]:
    """°F of each hour, and the row that it stands in."""
    nearest: dict[datetime, tuple[float, float, int]] = {}
    seen: dict[datetime, tuple[int, float]] = {}
    for row in rows:
        text = row.cell(columns.temperature).strip()
        if text.upper() in MISSING:
            continue
        value_f = _fahrenheit(row.number, columns.temperature_name, text, celsius)
        moment = _moment(row, columns, clock, seen)
        before = seen.setdefault(moment, (row.number, value_f))
        if before != (row.number, value_f) and abs(before[1] - value_f) > 0.05:
            raise ReadingsRefused(
                f"Row {row.number}, column {columns.time_name}: {row.cell(columns.time)} stands "
                f"already in row {before[0]} with another temperature. "
                f"If the file holds several places, choose one{columns.hint}."
            )
        hour = (moment + HOUR / 2).replace(minute=0, second=0, microsecond=0)
        away = abs(moment - hour).total_seconds()
        if hour not in nearest or away < nearest[hour][0]:
            nearest[hour] = (away, value_f, row.number)
    if not nearest:
        raise ReadingsRefused("The file has no reading; it needs rows of a time and a temperature.")
    return {hour: (value_f, row) for hour, (_, value_f, row) in nearest.items()}


def _moment(row: TableRow, columns: Columns, clock: Clock, seen: Container[datetime]) -> datetime:
    """A time that stands there again is the second one of an hour that autumn's clock repeats."""
    text = row.cell(columns.time)
    moment = standard_time(text, clock, row.number, columns.time_name)
    if moment not in seen:
        return moment
    return standard_time(text, clock, row.number, columns.time_name, second=True)


def _fahrenheit(row: int, column: str, text: str, celsius: bool) -> float:
    try:
        value = float(text)
    except ValueError:
        raise ReadingsRefused(
            f"Row {row}, column {column}: {text!r} is not a number; leave it empty or NA."
        ) from None
    value_f = value * 1.8 + 32.0 if celsius else value
    if not COLDEST_F <= value_f <= HOTTEST_F:
        raise ReadingsRefused(
            f"Row {row}, column {column}: {text} is {value_f:.0f} °F, and no air is that; "
            f"allowed is {COLDEST_F:.0f} to {HOTTEST_F:.0f} °F. Are the units right?"
        )
    return value_f


def _filled(hours: dict[datetime, float], utc_offset_h: float, notes: tuple[str, ...]) -> Readings:
    known = sorted(hours)
    first, last = known[0], known[-1]
    values_f = np.full(round((last - first) / HOUR) + 1, np.nan)
    for hour in known:
        values_f[round((hour - first) / HOUR)] = hours[hour]
    gaps = []
    for before, after in pairwise(known):
        missing = round((after - before) / HOUR) - 1
        if missing > LONGEST_FILLED_H:
            gaps.append(Gap(before + HOUR, missing))
        elif missing:
            start = round((before - first) / HOUR)
            line = np.linspace(hours[before], hours[after], missing + 2)
            values_f[start : start + missing + 2] = line
    return Readings(first, values_f, utc_offset_h, tuple(gaps), notes)


def _check_units(hours: Mapping[datetime, tuple[float, int]], columns: Columns) -> list[str]:
    """A word about a cool winter; refuses a month of the warm season without a warm hour."""
    warm_season = [
        hour for hour in hours if WARM_SEASON[0] <= (hour.month, hour.day) <= WARM_SEASON[1]
    ]
    warmest = max(warm_season or hours, key=lambda hour: hours[hour][0])
    value_f, row = hours[warmest]
    if value_f >= COOLEST_HOTTEST_F:
        return []
    said = f"row {row}, column {columns.temperature_name}, {warmest:%Y-%m-%d %H:%M}: {value_f:.1f}"
    if len({hour.date() for hour in warm_season}) >= WARM_SEASON_DAYS:
        raise ReadingsRefused(
            f"The warmest hour from mid-April to mid-October is {said}. In °F that is no summer. "
            "Are these °C? Then say so (--celsius)."
        )
    return [f"the warmest hour is {said}, taken as °F; say so if the file is in °C"]
