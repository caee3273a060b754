"""Spreadsheets that were brought in, as far as they name a customer."""

from __future__ import annotations

from agreements.imports.actions import sheet_of
from agreements.models import SpreadsheetImport
from customers.spreadsheet.refused import SheetRefused
from shop.models import Branch


def sheets_naming(branch: Branch, names: set[str]) -> list[SpreadsheetImport]:
    """Read cell by cell; telephones by their digits. A sheet that cannot be read counts too."""
    kept = SpreadsheetImport.objects.filter(branch=branch)
    return [sheet for sheet in kept.iterator() if _names_any(sheet, names)]


def _names_any(kept: SpreadsheetImport, names: set[str]) -> bool:
    try:
        sheet = sheet_of(kept)
    except SheetRefused:
        return True
    digits = {name for name in names if name.isdecimal()}
    words = {name.casefold() for name in names - digits}
    for row in sheet.rows:
        for cell in row.cells:
            text = cell.casefold()
            numbers = "".join(filter(str.isdecimal, text))
            if any(word in text for word in words) or any(part in numbers for part in digits):
                return True
    return False
