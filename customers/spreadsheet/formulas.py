"""Cells of an XLSX sheet that have no value to read: formulas never computed, and errors.

The reader of values answers these with nothing, and an empty cell would pass for "not given".
So the sheet's own XML is asked, only when it holds a formula or an error at all.
(ECMA-376 part 1, sections 18.3.1.4 "c", 18.3.1.40 "f", 18.2.19 "sheet".)
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from xml.etree import ElementTree

Address = tuple[int, int]  # row and column, both from 1

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_DOCUMENT = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")


def unanswered_cells(workbook: bytes, sheet_name: str) -> dict[Address, str]:
    """The formula ("=A2&B2") or the error ("#N/A") of each cell that has no value.

    Raises ParseError, KeyError or StopIteration when the workbook's parts do not fit together.
    """
    with zipfile.ZipFile(io.BytesIO(workbook)) as zipped:
        sheet = zipped.read(_path_of_sheet(zipped, sheet_name))
    if b"<f" not in sheet and b't="e"' not in sheet:
        return {}
    found: dict[Address, str] = {}
    _refuse_document_type(sheet)
    for _, element in ElementTree.iterparse(io.BytesIO(sheet)):  # noqa: S314  # nosec B314
        if element.tag == f"{_MAIN}c":
            if (text := _unanswered(element)) is not None:
                found[_address(element.get("r", ""))] = text
            element.clear()
    return found


def _unanswered(cell: ElementTree.Element) -> str | None:
    value = cell.findtext(f"{_MAIN}v")
    formula = cell.find(f"{_MAIN}f")
    if cell.get("t") == "e":
        return value or "#N/A"
    computed_to_nothing = cell.get("t") == "str" and value is not None  # =IF(A2="", "", A2)
    if formula is not None and not value and not computed_to_nothing:
        return "=" + (formula.text or "")
    return None


def _path_of_sheet(zipped: zipfile.ZipFile, sheet_name: str) -> str:
    book = _parsed(zipped.read("xl/workbook.xml"))
    links = _parsed(zipped.read("xl/_rels/workbook.xml.rels"))
    link = next(
        sheet.get(f"{_DOCUMENT}id")
        for sheet in book.iter(f"{_MAIN}sheet")
        if sheet.get("name") == sheet_name
    )
    target = next(entry.get("Target", "") for entry in links if entry.get("Id") == link)
    return posixpath.normpath(posixpath.join("/xl", target)).lstrip("/")


def _parsed(xml: bytes) -> ElementTree.Element:
    _refuse_document_type(xml)
    return ElementTree.fromstring(xml)  # noqa: S314  # nosec B314


def _refuse_document_type(xml: bytes) -> None:
    """No workbook has one; a file made to exhaust the memory by its entities needs one."""
    if b"<!DOCTYPE" in xml:
        raise ElementTree.ParseError("a workbook has no document type")


def _address(reference: str) -> Address:
    match = _REFERENCE.fullmatch(reference)
    if match is None:
        return (0, 0)
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return (int(match[2]), column)
