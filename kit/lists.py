"""A list of rows as a file for a spreadsheet program: CSV or XLSX. Pure: no Django.

A list declares its columns once; both files are written row by row, so that ten thousand rows
take no more memory than ten. Money, numbers and days are true cells of XLSX. Text stays text: a
cell that a spreadsheet program would run as a formula is defused.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import IO, Any, Literal

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

Cell = str | int | float | Decimal | bool | dt.date | dt.datetime | None
Kind = Literal["text", "number", "money", "day", "moment"]
Ending = Literal["csv", "xlsx"]
ENDINGS: dict[str, str] = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

# A sheet of XLSX has 1,048,576 rows; what does not fit goes on in the next sheet.
MOST_ROWS = 1_048_575
# OWASP, "CSV Injection": a cell that begins so may be run. Full-width signs count as well.
RUNS = tuple("=+-@\t\r\n＝＋－＠")
_NUMBER_LIKE = re.compile(r"[+-]?[0-9 ().-]*")

_FORMATS: dict[Kind, dict[str, Any]] = {
    "text": {},
    "number": {},
    "money": {"num_format": "#,##0.00;[Red]-#,##0.00"},
    "day": {"num_format": "yyyy-mm-dd"},
    "moment": {"num_format": "yyyy-mm-dd hh:mm"},
}
_WIDTHS: dict[Kind, int] = {"text": 24, "number": 10, "money": 12, "day": 11, "moment": 17}


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, how a row gives its cell, and what the cell is."""

    heading: str
    of: Callable[[Any], Cell]
    kind: Kind = "text"


def harmless(text: str) -> str:
    """The text as a cell that no spreadsheet program runs; numbers and phones stay as they are."""
    if text.startswith(RUNS) and not _NUMBER_LIKE.fullmatch(text):
        return "'" + text
    return text


def write(
    columns: Sequence[Column], rows: Iterable[Any], ending: Ending, file: IO[bytes], zone: dt.tzinfo
) -> int:
    """Write the rows into a binary file; returns how many. Moments are told on `zone`'s clock."""
    return (_write_csv if ending == "csv" else _write_xlsx)(columns, rows, file, zone)


def _write_csv(
    columns: Sequence[Column], rows: Iterable[Any], file: IO[bytes], zone: dt.tzinfo
) -> int:
    """With the mark by which spreadsheet programs know that accents are UTF-8."""
    text = io.TextIOWrapper(file, encoding="utf-8-sig", newline="", write_through=True)
    writer = csv.writer(text)
    writer.writerow([column.heading for column in columns])
    count = 0
    for row in rows:
        writer.writerow([_text_of(column.of(row), column.kind, zone) for column in columns])
        count += 1
    text.detach()
    return count


def _text_of(cell: Cell, kind: Kind, zone: dt.tzinfo) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, dt.datetime):
        return cell.astimezone(zone).isoformat(timespec="minutes")
    if isinstance(cell, dt.date):
        return cell.isoformat()
    if isinstance(cell, str):
        return harmless(cell)
    return f"{cell:.2f}" if kind == "money" else f"{cell}"


def _write_xlsx(
    columns: Sequence[Column], rows: Iterable[Any], file: IO[bytes], zone: dt.tzinfo
) -> int:
    book = xlsxwriter.Workbook(file, {"constant_memory": True})
    formats = {kind: book.add_format(facts) for kind, facts in _FORMATS.items()}
    bold = book.add_format({"bold": True})
    sheet, count = _new_sheet(book, columns, bold), 0
    for row in rows:
        line = count % MOST_ROWS
        if count and line == 0:
            sheet = _new_sheet(book, columns, bold)
        for number, column in enumerate(columns):
            _write_cell(sheet, line + 1, number, column.of(row), formats[column.kind], zone)
        count += 1
    book.close()
    return count


def _new_sheet(book: xlsxwriter.Workbook, columns: Sequence[Column], bold: Format) -> Worksheet:
    sheet = book.add_worksheet()
    for number, column in enumerate(columns):
        sheet.set_column(number, number, max(_WIDTHS[column.kind], len(column.heading)))
    sheet.freeze_panes(1, 0)
    for number, column in enumerate(columns):
        sheet.write_string(0, number, column.heading, bold)
    return sheet


def _write_cell(
    sheet: Worksheet, row: int, number: int, cell: Cell, look: Format, zone: dt.tzinfo
) -> None:
    """Text is written as a string cell, which no program runs, so it needs no apostrophe."""
    if cell is None or cell == "":
        return
    if isinstance(cell, dt.datetime):
        cell = cell.astimezone(zone).replace(tzinfo=None)
    if isinstance(cell, bool):
        sheet.write_string(row, number, "yes" if cell else "no")
    elif isinstance(cell, dt.date) and cell.year >= 1900:
        sheet.write_datetime(row, number, cell, look)
    elif isinstance(cell, int | float | Decimal) and math.isfinite(cell):
        sheet.write_number(row, number, float(cell), look)
    else:
        sheet.write_string(row, number, str(cell))
