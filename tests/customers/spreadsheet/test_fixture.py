"""The make-believe office's sheet, every row of it held against what must become of it."""

import csv
import datetime as dt
import subprocess
import sys
from pathlib import Path

import pytest

from customers.spreadsheet.cleaning import clean_sheet
from customers.spreadsheet.columns import check_matching, guess_columns
from customers.spreadsheet.likeness import find_likeness
from customers.spreadsheet.reading import read_sheet

FOLDER = Path(__file__).parents[3] / "fixtures" / "spreadsheet"
TODAY = dt.date(2027, 3, 1)


def cleaned(name):
    sheet = read_sheet((FOLDER / name).read_bytes(), name)
    matching = guess_columns(sheet.headers)
    assert check_matching(matching) == []
    return clean_sheet(sheet, matching, today=TODAY)


def expected():
    with (FOLDER / "expected.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return {(int(r["row"]), r["outcome"], r["column"], r["code"], r["other_row"]) for r in rows}


def found(name):
    """The same tuples as in expected.csv, from reading, cleaning and comparing the file."""
    clean = cleaned(name)
    likeness = find_likeness(clean.rows, [])
    refused = {(r.row, "refused", r.column, r.code, "") for r in clean.refusals}
    offers = {offer.row: offer.other_row for offer in likeness.offers}
    repeated = {refusal.row: refusal for refusal in likeness.repeated}
    for row in (clean_row.row for clean_row in clean.rows):
        if row in repeated:
            refused.add((row, "refused", "", repeated[row].code, str(repeated[row].other_row)))
        elif row in likeness.second_systems:
            refused.add((row, "second_system", "", "", str(likeness.second_systems[row])))
        elif row in offers:
            refused.add((row, "alike", "", "", str(offers[row])))
        else:
            refused.add((row, "new", "", "", ""))
    return refused


@pytest.mark.parametrize("name", ["homes.csv", "homes.xlsx"])
def test_every_row_of_the_office_sheet_comes_out_as_expected(name):
    assert found(name) == expected()


def test_both_files_of_the_office_say_the_same():
    assert cleaned("homes.csv").rows == cleaned("homes.xlsx").rows


def test_the_shop_is_as_large_and_as_mixed_as_it_claims():
    rows = cleaned("homes.csv").rows
    limited = [row for row in rows if row.home.halves is not None]

    assert len([row for row in expected() if row[1] in ("new", "alike")]) == 480
    assert 0.65 < sum(row.agreement.plan == "annual" for row in rows) / len(rows) < 0.75
    assert 0.40 < len(limited) / len(rows) < 0.50
    assert 0.20 < sum(row.home.short_notice is True for row in rows) / len(rows) < 0.30
    assert 0.35 < sum(row.home.precision == "exact" for row in rows) / len(rows) < 0.45


def test_the_same_seed_writes_the_same_sheet(tmp_path):
    subprocess.run([sys.executable, FOLDER / "make.py", tmp_path], check=True, capture_output=True)

    for name in ("homes.csv", "homes.xlsx", "expected.csv"):
        assert (tmp_path / name).read_bytes() == (FOLDER / name).read_bytes()
