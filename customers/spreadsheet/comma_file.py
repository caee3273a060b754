"""Rows of a text file: which letters its bytes stand for, and what divides its cells."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterator, Sequence
from itertools import islice

from charset_normalizer import from_bytes

from customers.spreadsheet.refused import SheetRefused

_MARKS = [
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
]
# What spreadsheet programs in the United States write when they do not write Unicode.
_OLDER = ["cp1252", "mac_roman", "utf_16_le", "utf_16_be"]
_DELIMITERS = ",;\t"
_SAMPLE_ROWS = 20
_LONGEST_CELL = 100_000


def rows_of_comma_file(data: bytes) -> Iterator[tuple[int, Sequence[str]]]:
    """(spreadsheet row number, cells) of each record, the blank ones included.

    Raises SheetRefused when the bytes are no text or a quote never ends.
    """
    text = _decoded(data)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    csv.field_size_limit(_LONGEST_CELL)
    try:
        yield from enumerate(rows, start=1)
    except csv.Error as error:
        raise SheetRefused(
            f"The file cannot be divided into cells near line {rows.line_num:,} ({error}); "
            "look there for a quotation mark that is not closed."
        ) from error


def _decoded(data: bytes) -> str:
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "utf-8")
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        best = from_bytes(data, cp_isolation=_OLDER).best()
        text = str(best) if best is not None else "\0"
    else:
        if "\0" in text and (best := from_bytes(data, cp_isolation=_OLDER[2:]).best()):
            text = str(best)
    if "\0" in text:
        raise SheetRefused("The file is not text; save it as .csv or .xlsx.")
    return text


def _delimiter(text: str) -> str:
    """The delimiter that divides the first rows into most cells, the same number in each."""

    def evenness(delimiter: str) -> tuple[int, int]:
        try:
            sample = list(islice(csv.reader(io.StringIO(text), delimiter=delimiter), _SAMPLE_ROWS))
        except csv.Error:
            return (0, 0)
        widths = [len(row) for row in sample if row]
        return (min(widths, default=0), sum(widths))

    return max(_DELIMITERS, key=evenness)
