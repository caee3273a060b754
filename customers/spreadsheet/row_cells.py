"""The cells of one row by field, and what was said about them on the way."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from customers.spreadsheet.cells import check_length, says_nothing, tidy, without_formula
from customers.spreadsheet.columns import Matching
from customers.spreadsheet.fields import FIELDS, field_named
from customers.spreadsheet.outcomes import CellRefused, Note, Refusal
from customers.spreadsheet.reading import SheetRow

T = TypeVar("T")

# Read as they stand: somebody may be called None, and a dog "none" is an answer.
_LITERAL = {"name", "dog", "pets", "winter_cover", "high_low_returns", "short_notice", "renews"}


class RowCells:
    """Reads fields of a row; a cell that cannot be read becomes a refusal, not an exception."""

    def __init__(self, sheet_row: SheetRow, matching: Matching) -> None:
        self._row = sheet_row
        self._matching = matching
        self._refused_fields: set[str] = set()
        self.refusals: list[Refusal] = []
        self.notes: list[Note] = []
        self._texts = {field.id: self._plain(field.id) for field in FIELDS}

    def text(self, field_id: str, most: int) -> str:
        """The tidy text of a field, at most `most` letters; "" when it says nothing."""
        return self.read(field_id, lambda text: check_length(text, most)) or ""

    def read(self, field_id: str, reader: Callable[[str], T]) -> T | None:
        """The field's value by `reader`; None when it says nothing or is refused."""
        text = self._texts[field_id]
        return self.checked(field_id, text, reader) if text else None

    def checked(self, field_id: str, text: str, reader: Callable[[str], T]) -> T | None:
        """What `reader` makes of `text`; None when it refuses, and the refusal is kept."""
        try:
            return reader(text)
        except CellRefused as refused:
            self.refuse(field_id, refused.code, refused.words)
            return None

    def need(self, field_id: str, value: T | None) -> T | None:
        """The value again; a missing one is refused, unless its cell was refused already."""
        if not value and field_id not in self._refused_fields:
            label = field_named(field_id).label.lower()
            self.refuse(field_id, "missing", f"the {label} is missing and is needed.")
        return value

    def refuse(self, field_id: str, code: str, reason: str) -> None:
        """Keep a refusal of this field's cell."""
        self._refused_fields.add(field_id)
        header = self._header(field_id)
        self.refusals.append(Refusal(self._row.number, header, self._raw(field_id), code, reason))

    def refuse_surplus(self) -> None:
        """Refuse a row that is wider than the headings: its cells may have slipped."""
        surplus = self._row.cells[len(self._matching.headers) :]
        if surplus:
            reason = (
                f"the row has {len(surplus)} more cells than there are headings; "
                "a comma inside a cell may have divided it."
            )
            value = ", ".join(map(tidy, surplus))
            self.refusals.append(Refusal(self._row.number, "", value, "row_too_wide", reason))

    def note(self, field_id: str, words: str) -> None:
        """Keep a note on something that was put right."""
        self.notes.append(Note(self._header(field_id), words))

    def has_column(self, field_id: str) -> bool:
        """Does any column of the sheet hold this field?"""
        return self._matching.place_of(field_id) is not None

    def was_refused(self, field_id: str) -> bool:
        """Has a cell of this field been refused?"""
        return field_id in self._refused_fields

    def refusals_in_order(self) -> tuple[Refusal, ...]:
        """The refusals in the order of the sheet's columns."""
        places = {header: place for place, header in enumerate(self._matching.headers)}
        return tuple(sorted(self.refusals, key=lambda r: places.get(r.column, -1)))

    def _plain(self, field_id: str) -> str:
        raw = self._raw(field_id)
        text = self.checked(field_id, tidy(raw), without_formula) or "" if raw else ""
        return "" if field_id not in _LITERAL and says_nothing(text) else text

    def _raw(self, field_id: str) -> str:
        place = self._matching.place_of(field_id)
        return self._row.cells[place] if place is not None else ""

    def _header(self, field_id: str) -> str:
        return self._matching.header_of(field_id) or field_named(field_id).label
