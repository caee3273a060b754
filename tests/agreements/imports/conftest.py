"""A spreadsheet on its way in, and short ways to write one."""

import csv
import datetime as dt
import io

import pytest

from agreements.imports import actions
from customers.spreadsheet.columns import guess_columns
from tests import cast

TODAY = dt.date(2027, 3, 1)
PLAIN = {
    "Name": "Ana Ortiz",
    "Phone": "414-555-0143",
    "Street": "214 Oak Street",
    "City": "Milwaukee",
    "State": "WI",
    "ZIP": "53202",
    "System": "AC",
    "Serial": "A1",
    "Plan": "annual",
    "Start": "6/1/2026",
    "Price": "169",
}


def written(*changes):
    """CSV bytes of plain rows, each with some cells changed; {} is the plain row itself."""
    rows = [PLAIN | change for change in changes]
    headings = list(dict.fromkeys(heading for row in rows for heading in row))
    text = io.StringIO()
    writer = csv.DictWriter(text, headings, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


@pytest.fixture
def upload(db):
    """Upload rows (or a file's bytes) with the columns matched as guessed."""

    def uploaded(*changes, content=None, file_name="homes.csv"):
        sheet_import = actions.upload_spreadsheet(
            branch=cast.cedarburg(),
            file_name=file_name,
            content=content or written(*changes),
            by=cast.odile(),
        )
        headers = actions.sheet_of(sheet_import).headers
        actions.settle_columns(sheet_import=sheet_import, matching=guess_columns(headers))
        return sheet_import

    return uploaded


@pytest.fixture
def look():
    """The dry run's outcomes by row."""

    def looked(sheet_import, today=TODAY):
        planned = actions.dry_run(sheet_import=sheet_import, today=today)
        return {outcome.row: outcome for outcome in planned.outcomes}

    return looked


@pytest.fixture
def bring_in():
    """Bring an import in; answers the counts."""

    def brought(sheet_import, today=TODAY):
        return actions.bring_in(sheet_import=sheet_import, by=cast.odile(), today=today)

    return brought
