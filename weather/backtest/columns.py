"""Which columns of a CSV hold the time and the temperature."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from weather.backtest.moments import looks_like_a_time
from weather.backtest.refusal import ReadingsRefused

TIME_NAMES = re.compile(r"time|date|^dt$|^valid$|^when$|^hour$|stamp", re.IGNORECASE)
TEMPERATURE_NAMES = re.compile(r"temp|tmp|^t$|^f$|°|fahrenheit|celsius|degrees", re.IGNORECASE)
CELSIUS_NAMES = re.compile(r"°\s*c|celsius|temp_?c$|[ _(]c\)?$|^c$|tempc", re.IGNORECASE)
MOST_PLACES = 40


@dataclass(frozen=True)
class TableRow:
    """One line: its number in the file (the header is row 1) and its cells."""

    number: int
    cells: Sequence[str]

    def cell(self, column: int) -> str:
        return self.cells[column].strip() if column < len(self.cells) else ""


@dataclass(frozen=True)
class Columns:
    """Where time and temperature stand, and what they are called."""

    time: int
    temperature: int
    time_name: str
    temperature_name: str
    notes: tuple[str, ...]
    hint: str  # how to choose one place, when a column looks like places


def table_rows(text: str) -> list[TableRow]:
    """The file's rows with anything in them, the header first."""
    try:
        lines = csv.reader(text.lstrip("\ufeff").splitlines(), delimiter=_delimiter(text))
        rows = [TableRow(n, cells) for n, cells in enumerate(lines, start=1)]
    except csv.Error as broken:
        raise ReadingsRefused(f"The file cannot be read as CSV: {broken}.") from None
    rows = [row for row in rows if any(cell.strip() for cell in row.cells)]
    if len(rows) < 2:
        raise ReadingsRefused("The file needs a header and rows of a time and a temperature.")
    return rows


def find_columns(
    rows: Sequence[TableRow], time_column: str, temperature_column: str, celsius: bool
) -> Columns:
    """Guess the two columns, or find those that were named."""
    header, sample = rows[0], rows[1:200]
    time = _named(header, time_column) if time_column else _time(header, sample)
    temperature = (
        _named(header, temperature_column)
        if temperature_column
        else _temperature(header, sample, time)
    )
    name = header.cell(temperature)
    if CELSIUS_NAMES.search(name) and not celsius:
        raise ReadingsRefused(
            f"Column {name} looks like °C. Say so (--celsius), or name a column of °F."
        )
    note = f"time from column {header.cell(time)}, temperature from {name}"
    return Columns(
        time, temperature, header.cell(time), name, (note,), _hint(header, rows, time, temperature)
    )


def only_rows(rows: Sequence[TableRow], only: str) -> list[TableRow]:
    """The rows below the header; with COLUMN=VALUE, those of one place."""
    if not only:
        return list(rows[1:])
    name, _, value = only.partition("=")
    column = _named(rows[0], name.strip())
    kept = [row for row in rows[1:] if row.cell(column) == value.strip()]
    if not kept:
        values = ", ".join(sorted({row.cell(column) for row in rows[1:]})[:MOST_PLACES])
        raise ReadingsRefused(f"No row has {only}; column {name} holds {values}.")
    return kept


def _delimiter(text: str) -> str:
    header = text.split("\n", 1)[0]
    return max((",", ";", "\t"), key=header.count)


def _named(header: TableRow, name: str) -> int:
    for column in range(len(header.cells)):
        if header.cell(column).lower() == name.lower():
            return column
    raise ReadingsRefused(
        f"There is no column {name}; the columns are {', '.join(map(str.strip, header.cells))}."
    )


def _time(header: TableRow, sample: Sequence[TableRow]) -> int:
    timely = [
        column
        for column in range(len(header.cells))
        if all(looks_like_a_time(row.cell(column)) for row in sample)
    ]
    if not timely:
        raise ReadingsRefused(
            "No column holds times of the hour, such as 2016-04-01T13:00-06:00 or 4/1/2016 13:00; "
            f"the columns are {', '.join(map(str.strip, header.cells))}."
        )
    named = [column for column in timely if TIME_NAMES.search(header.cell(column))]
    return (named or timely)[0]


def _temperature(header: TableRow, sample: Sequence[TableRow], time: int) -> int:
    numeric = [
        column
        for column in range(len(header.cells))
        if column != time and any(_is_number(row.cell(column)) for row in sample)
    ]
    named = [column for column in numeric if TEMPERATURE_NAMES.search(header.cell(column))]
    if named:
        return named[0]
    if len(numeric) == 1:
        return numeric[0]
    raise ReadingsRefused(
        "Which column is the temperature? Name it (--temperature-column); "
        f"the columns are {', '.join(map(str.strip, header.cells))}."
    )


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _hint(header: TableRow, rows: Sequence[TableRow], time: int, temperature: int) -> str:
    for column in range(len(header.cells)):
        values = {row.cell(column) for row in rows[1:]}
        wordy = not any(_is_number(value) for value in values)
        if column not in (time, temperature) and wordy and 1 < len(values) <= MOST_PLACES:
            name, first = header.cell(column), min(values)
            return f" with --only {name}={first} (it holds {', '.join(sorted(values))})"
    return " with --only COLUMN=VALUE"
