"""Bytes and a file name in, headings and rows of text out.

Everything becomes text as a person would read it in the spreadsheet: dates as 2024-04-03,
numbers without a needless ".0". So one set of rules cleans both kinds of file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from customers.spreadsheet.comma_file import rows_of_comma_file
from customers.spreadsheet.refused import SheetRefused
from customers.spreadsheet.workbook import is_workbook, rows_of_workbook

__all__ = ["LIMIT_BYTES", "LIMIT_ROWS", "Sheet", "SheetRefused", "SheetRow", "read_sheet"]

LIMIT_BYTES = 20 * 1024 * 1024
LIMIT_ROWS = 50_000
_ENDINGS = {".csv", ".txt", ".tsv", ".xlsx"}
# What other files begin with, so that the refusal can name them.
_FOREIGN = {
    b"%PDF": "a PDF",
    b"\xd0\xcf\x11\xe0": "an old Excel file (.xls) or one with a password",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"{\\rtf": "a text document",
    b"<!DOCTYPE": "a web page",
    b"<html": "a web page",
}


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row; `number` is the one that the spreadsheet program shows at its left edge."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Headings (unique, none empty) and the rows below them that hold anything.

    A row has at least as many cells as there are headings. It has more when it is wider than
    the headings, which cleaning refuses.
    """

    headers: tuple[str, ...]
    rows: tuple[SheetRow, ...]


def read_sheet(data: bytes, file_name: str, *, limit_bytes: int = LIMIT_BYTES) -> Sheet:
    """Read a CSV or XLSX file.

    Raises SheetRefused with a sentence for the office: not such a file by its name or its
    content, larger than `limit_bytes`, empty, no row below the headings, more than
    `LIMIT_ROWS` rows, or a heading that stands there twice.
    """
    _check_file(data, file_name, limit_bytes)
    if is_workbook(data):
        return _sheet(rows_of_workbook(data))
    return _sheet(rows_of_comma_file(data))


def _check_file(data: bytes, file_name: str, limit_bytes: int) -> None:
    ending = PurePath(file_name).suffix.lower()
    if ending not in _ENDINGS:
        raise SheetRefused(
            f"“{file_name}” is not a spreadsheet that can be read; save it as .csv or .xlsx."
        )
    if not data.strip():
        raise SheetRefused(f"“{file_name}” is empty.")
    if len(data) > limit_bytes:
        raise SheetRefused(
            f"“{file_name}” has {len(data) / 1e6:.0f} MB; at most {limit_bytes / 1e6:.0f} MB "
            "can be read. Take out pictures, or divide it."
        )
    for beginning, what in _FOREIGN.items():
        if data.startswith(beginning):
            raise SheetRefused(f"“{file_name}” is {what}; save it as .csv or .xlsx.")


def _sheet(numbered: Iterable[tuple[int, Sequence[str]]]) -> Sheet:
    filled = [(number, cells) for number, cells in numbered if any(map(str.strip, cells))]
    if not filled:
        raise SheetRefused("The spreadsheet is empty.")
    (_, heading), *below = filled
    if not below:
        raise SheetRefused("The spreadsheet has headings and no row below them.")
    if len(below) > LIMIT_ROWS:
        raise SheetRefused(
            f"The spreadsheet has {len(below):,} rows; at most {LIMIT_ROWS:,} can be read at once."
        )
    headers = _headers(heading, below)
    return Sheet(headers, tuple(SheetRow(n, _padded(cells, len(headers))) for n, cells in below))


def _headers(heading: Sequence[str], below: list[tuple[int, Sequence[str]]]) -> tuple[str, ...]:
    """The headings as they stand; a column with values and no heading is named by its place."""
    named = [" ".join(cell.split()) for cell in heading]
    while named and not named[-1]:
        named.pop()
    headers = tuple(name or f"(column {place})" for place, name in enumerate(named, start=1))
    seen: dict[str, str] = {}
    for header in headers:
        twin = seen.setdefault(header.casefold(), header)
        if twin is not header:
            raise SheetRefused(
                f"Two columns have the heading “{header}”; give each its own heading."
            )
    return headers


def _padded(cells: Sequence[str], width: int) -> tuple[str, ...]:
    kept = list(cells)
    while len(kept) > width and not kept[-1].strip():
        kept.pop()
    return tuple(kept) + ("",) * (width - len(kept))
