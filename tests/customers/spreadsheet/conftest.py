"""Short ways to write a small spreadsheet and to clean its one row."""

import datetime as dt

import pytest

from customers.spreadsheet.cleaning import clean_row
from customers.spreadsheet.columns import guess_columns
from customers.spreadsheet.reading import SheetRow

TODAY = dt.date(2027, 3, 1)
PLAIN = {
    "Name": "Ana Ortiz",
    "Street": "214 Oak Street",
    "City": "Milwaukee",
    "State": "WI",
    "ZIP": "53202",
    "System": "AC",
    "Plan": "annual",
    "Start": "6/1/2026",
}


@pytest.fixture
def clean():
    """Clean one plain row with some cells changed: clean(Price="189.995")."""

    def clean_one(**changed):
        cells = PLAIN | changed
        matching = guess_columns(list(cells))
        return clean_row(SheetRow(2, tuple(cells.values())), matching, today=TODAY)

    return clean_one


@pytest.fixture
def codes(clean):
    """The (column, code) of each refusal that a changed plain row earns; [] when it is taken."""

    def codes_of(**changed):
        outcome = clean(**changed)
        return [(r.column, r.code) for r in outcome] if isinstance(outcome, tuple) else []

    return codes_of
