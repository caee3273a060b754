"""Rows of an XLSX workbook, every cell as the text that a person reads in it."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import ParseError

from python_calamine import (
    CalamineError,
    CalamineSheet,
    CalamineWorkbook,
    PasswordError,
    SheetTypeEnum,
    SheetVisibleEnum,
)

from customers.spreadsheet.formulas import Address, unanswered_cells
from customers.spreadsheet.refused import SheetRefused

_MOST_UNPACKED_BYTES = 400 * 1024 * 1024  # a real 20 MB workbook unpacks to far less


def is_workbook(data: bytes) -> bool:
    """Is it any zipped document? Only its content tells an XLSX from a text file."""
    return data.startswith(b"PK\x03\x04")


def rows_of_workbook(data: bytes) -> Iterator[tuple[int, Sequence[str]]]:
    """(row number, cells) of the first visible sheet that holds anything.

    A formula without a kept result, and a cell in error, come as their text ("=A2&B2",
    "#N/A"): what is to be done about them is for cleaning to say. Raises SheetRefused.
    """
    _check_zip(data)
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))
        sheet = _first_filled(workbook)
        rows = sheet.to_python(skip_empty_area=False)
        unanswered = unanswered_cells(data, sheet.name)
    except PasswordError as error:
        raise SheetRefused("The workbook has a password; save it without one.") from error
    except (CalamineError, zipfile.BadZipFile, ParseError, KeyError, StopIteration) as error:
        raise SheetRefused("The workbook is damaged and cannot be read.") from error
    for number, row in enumerate(rows, start=1):
        yield number, _with_unanswered([_text(value) for value in row], number, unanswered)


def _check_zip(data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as zipped:
            names = set(zipped.namelist())
            unpacked = sum(entry.file_size for entry in zipped.infolist())
    except zipfile.BadZipFile as error:
        raise SheetRefused("The workbook is damaged and cannot be opened.") from error
    if "xl/workbook.xml" not in names:
        raise SheetRefused("The file is a zipped document of another kind; save it as .xlsx.")
    if unpacked > _MOST_UNPACKED_BYTES:
        raise SheetRefused("The workbook unpacks to more than 400 MB; divide it.")


def _first_filled(workbook: CalamineWorkbook) -> CalamineSheet:
    for about in workbook.sheets_metadata:
        if about.typ == SheetTypeEnum.WorkSheet and about.visible == SheetVisibleEnum.Visible:
            sheet = workbook.get_sheet_by_name(about.name)
            if sheet.total_height:
                return sheet
    raise SheetRefused("The workbook has no visible sheet with anything in it.")


def _with_unanswered(cells: list[str], number: int, unanswered: dict[Address, str]) -> list[str]:
    if unanswered:
        for place in range(len(cells)):
            cells[place] = unanswered.get((number, place + 1), cells[place])
    return cells


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, dt.datetime):
        return value.date().isoformat()
    return str(value)
