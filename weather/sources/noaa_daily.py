"""NOAA daily summaries: a day's maximum and minimum at a station, as CSV.

NCEI's access data service answers `dataset=daily-summaries&dataTypes=TMAX,TMIN&format=csv`
with the columns STATION, DATE, TMAX and TMIN; GHCN-Daily extracts carry the same names in
either case. The file does not say its units (`units=standard` is °F, `units=metric` °C, the
archive itself tenths of °C), so the caller must. Other columns are passed over.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from enum import StrEnum

from weather.climate import DailyRecord

COLUMNS = ("DATE", "TMAX", "TMIN")
MISSING = frozenset({"", "NA", "-9999", "-9999.0"})  # -9999: the archive's own mark
COLDEST_F, HOTTEST_F = -100.0, 140.0  # a little beyond the world's records


class Units(StrEnum):
    """What the numbers of the file are."""

    FAHRENHEIT = "fahrenheit"
    CELSIUS = "celsius"
    CELSIUS_TENTHS = "celsius-tenths"


class RowRefused(ValueError):
    """A value that cannot be read. `row` counts the file's lines, the header being row 1."""

    def __init__(self, row: int, column: str, reason: str) -> None:
        super().__init__(f"Row {row}, column {column}: {reason}")
        self.row, self.column = row, column


def read_noaa_daily(text: str, *, units: Units) -> list[DailyRecord]:
    """The days of one station, in the file's order; a missing value is None.

    Raises RowRefused naming row and column for a value, ValueError for the file as a whole.
    """
    reader = csv.reader(text.lstrip("\ufeff").splitlines())
    try:
        return _records(reader, units)
    except csv.Error as broken:  # a quotation mark that is never closed swallows the file
        raise ValueError(
            f"The file cannot be read as CSV after a quotation mark: {broken}."
        ) from None


def _records(reader: Iterator[list[str]], units: Units) -> list[DailyRecord]:
    places = _columns(next(reader, []))
    records: list[DailyRecord] = []
    seen: dict[date, int] = {}
    stations: set[str] = set()
    for row, cells in _rows(reader, places, stations):
        record = _record(row, cells, units)
        if record.day in seen:
            raise RowRefused(row, "DATE", f"{record.day} stands already in row {seen[record.day]}.")
        seen[record.day] = row
        records.append(record)
    if not records:
        raise ValueError("The file has a header and no day; it needs one row for each day.")
    return records


def _columns(header: list[str]) -> dict[str, int]:
    """Where each column stands. STATION may be absent."""
    if not any(name.strip() for name in header):
        raise ValueError(f"The file is empty; it needs a header with {', '.join(COLUMNS)}.")
    places = {name.strip().upper(): n for n, name in reversed(list(enumerate(header)))}
    absent = [name for name in COLUMNS if name not in places]
    if absent:
        raise ValueError(
            f"Row 1: there is no column {' or '.join(absent)}; "
            f"the columns are {', '.join(name.strip() for name in header)}."
        )
    return {name: places[name] for name in (*COLUMNS, "STATION") if name in places}


def _rows(
    reader: Iterator[list[str]], places: dict[str, int], stations: set[str]
) -> Iterator[tuple[int, dict[str, str]]]:
    for row, values in enumerate(reader, start=2):
        if not any(value.strip() for value in values):
            continue
        cells = {}
        for name, n in places.items():
            if n >= len(values):
                raise RowRefused(row, name, f"the row ends after {len(values)} values.")
            cells[name] = values[n].strip()
        stations.add(cells.get("STATION", ""))
        if len(stations) > 1:
            raise RowRefused(row, "STATION", "a second station begins; a file holds one.")
        yield row, cells


def _record(row: int, cells: dict[str, str], units: Units) -> DailyRecord:
    try:
        day = date.fromisoformat(cells["DATE"])
    except ValueError:
        raise RowRefused(
            row, "DATE", f"{cells['DATE']!r} is not a date; write it as 1991-03-31."
        ) from None
    tmax_f = _temperature_f(row, "TMAX", cells["TMAX"], units)
    tmin_f = _temperature_f(row, "TMIN", cells["TMIN"], units)
    if tmax_f is not None and tmin_f is not None and tmax_f < tmin_f:
        raise RowRefused(
            row,
            "TMAX",
            f"{cells['TMAX']} is below TMIN {cells['TMIN']} on {day}; "
            "correct it, or empty both to count the day as missing.",
        )
    return DailyRecord(day, tmax_f, tmin_f)


def _temperature_f(row: int, column: str, text: str, units: Units) -> float | None:
    if text.upper() in MISSING:
        return None
    try:
        value = float(text)
    except ValueError:
        raise RowRefused(row, column, f"{text!r} is not a number; leave it empty or NA.") from None
    if units is Units.CELSIUS_TENTHS:
        value /= 10.0
    value_f = value if units is Units.FAHRENHEIT else value * 1.8 + 32.0
    if not COLDEST_F <= value_f <= HOTTEST_F:
        raise RowRefused(
            row,
            column,
            f"{text} in {units.value} is {value_f:.0f} °F, and no air is that; allowed is "
            f"{COLDEST_F:.0f} to {HOTTEST_F:.0f} °F. Are the units right?",
        )
    return value_f
