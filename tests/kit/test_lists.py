"""Rows as CSV and XLSX, read again as a spreadsheet program reads them."""

import csv
import datetime as dt
import io
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from kit import lists
from kit.lists import Column, harmless, write

CHICAGO = ZoneInfo("America/Chicago")
COLUMNS = (
    Column("Name", lambda row: row[0]),
    Column("Price, USD", lambda row: row[1], "money"),
    Column("On", lambda row: row[2], "day"),
    Column("At", lambda row: row[3], "moment"),
    Column("Renews", lambda row: row[4]),
)
NOON_THERE = dt.datetime.fromisoformat("2027-07-01T12:00")  # a cell has no zone
NOON = dt.datetime(2027, 7, 1, 17, tzinfo=dt.UTC)
ROW = ("Nora Whitfield", Decimal("149.00"), dt.date(2027, 1, 1), NOON, True)


def as_csv(*rows):
    file = io.BytesIO()
    write(COLUMNS, rows, "csv", file, CHICAGO)
    return list(csv.reader(io.StringIO(file.getvalue().decode("utf-8-sig"), newline="")))


def as_xlsx(*rows):
    file = io.BytesIO()
    write(COLUMNS, rows, "xlsx", file, CHICAGO)
    file.seek(0)
    book = CalamineWorkbook.from_filelike(file)
    return [book.get_sheet_by_index(n).to_python() for n in range(len(book.sheet_names))]


def test_csv_says_days_as_iso_money_with_cents_and_moments_on_the_branch_s_clock():
    assert as_csv(ROW) == [
        ["Name", "Price, USD", "On", "At", "Renews"],
        ["Nora Whitfield", "149.00", "2027-01-01", "2027-07-01T12:00-05:00", "yes"],
    ]


def test_xlsx_has_money_and_days_as_true_cells():
    (sheet,) = as_xlsx(ROW)

    assert sheet[1] == [
        "Nora Whitfield", 149.0, dt.date(2027, 1, 1), NOON_THERE, "yes"
    ]  # fmt: skip


def test_what_is_missing_is_an_empty_cell():
    nothing = (None, None, None, None, None)

    assert as_csv(nothing)[1] == [""] * 5
    assert all(cell == "" for row in as_xlsx(nothing)[0][1:] for cell in row)


@pytest.mark.parametrize(
    "cell",
    ["=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3+cmd", "\t=1", "\r=1", "\n=1", "＝1+1", "＋1a"],
)
def test_what_a_spreadsheet_program_would_run_is_defused(cell):
    assert as_csv((cell, *ROW[1:]))[1][0] == "'" + cell
    assert "=1" not in [c for c in as_xlsx((cell, *ROW[1:]))[0][1] if isinstance(c, int | float)]


@pytest.mark.parametrize("cell", ["+1 414-555-0123", "-12", "(414) 555-0123", "", "14 Alder Court"])
def test_phones_and_numbers_stay_as_they_are(cell):
    assert harmless(cell) == cell


def test_xlsx_keeps_a_formula_as_plain_text():
    file = io.BytesIO()
    write(COLUMNS, [("=1+1", *ROW[1:])], "xlsx", file, CHICAGO)
    file.seek(0)

    assert CalamineWorkbook.from_filelike(file).get_sheet_by_index(0).to_python()[1][0] == "=1+1"


def test_more_rows_than_a_sheet_holds_go_on_in_the_next(monkeypatch):
    monkeypatch.setattr(lists, "MOST_ROWS", 3)

    sheets = as_xlsx(*[(f"Customer {n}", *ROW[1:]) for n in range(7)])

    assert [len(sheet) - 1 for sheet in sheets] == [3, 3, 1]
    assert {sheet[0][0] for sheet in sheets} == {"Name"}


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), min_size=1)))
def test_any_text_comes_back_whole(names):
    lines = as_csv(*[(name, *ROW[1:]) for name in names])

    assert [line[0].removeprefix("'") for line in lines[1:]] == [n.removeprefix("'") for n in names]
