"""What can be said about a cell: a note (it was put right) or a refusal (the office must)."""

from __future__ import annotations

from dataclasses import dataclass


class CellRefused(Exception):
    """A cell that cannot be read; `words` say why and what is allowed, `code` is for tests."""

    def __init__(self, code: str, words: str) -> None:
        super().__init__(words)
        self.code = code
        self.words = words


@dataclass(frozen=True, slots=True)
class Note:
    """Something that was put right without asking; the office sees it beside the row."""

    column: str
    words: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a row is not taken: spreadsheet row (1 is the first line), column header, its value.

    `column` is "" when the whole row is meant; `other_row` is the row that it repeats, or None.
    """

    row: int
    column: str
    value: str
    code: str
    reason: str
    other_row: int | None = None

    def __str__(self) -> str:
        where = f"Row {self.row}, {self.column}" if self.column else f"Row {self.row}"
        return f"{where}: {self.reason}"
