"""The refused rows of a sheet as a file to correct and upload again."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from agreements.imports.outcomes import Kind, RowOutcome
from customers.spreadsheet.reading import Sheet
from kit.lists import harmless

WHY = "Why refused"


def refused_rows_file(sheet: Sheet, outcomes: Sequence[RowOutcome]) -> bytes:
    """CSV with the sheet's own headings and cells, and the reasons in a last column."""
    reasons = {o.row: o.refusals for o in outcomes if o.kind == Kind.REFUSED}
    headings = [heading for heading in sheet.headers if heading != WHY]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([*map(harmless, headings), WHY])
    for row in sheet.rows:
        if row.number in reasons:
            cells = dict(zip(sheet.headers, row.cells, strict=False))
            why = "; ".join(f"{r.column}: {r.reason}".strip(": ") for r in reasons[row.number])
            writer.writerow([*(harmless(cells[heading]) for heading in headings), why])
    return text.getvalue().encode("utf-8-sig")  # with its mark: Excel then reads the accents
