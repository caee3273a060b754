"""Which column of the office's spreadsheet is which fact: guessed, shown, put right by people.

A matching says for each heading which field it holds, or none. It is guessed from the headings
alone; the office sees the guess beside the first values and has the last word.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz

from customers.spreadsheet.fields import FIELDS, Field, field_named

# Of 100; measured: the misspelt headings of the tests reach 84.6 to 100 for their field, headings
# of other things ("Statement", "Route", "Discount") at most 71.4 for any.
LEAST_LIKENESS = 82.0


@dataclass(frozen=True, slots=True)
class Matching:
    """`fields` has, for each heading in the sheet's order, a field's id or None (not imported)."""

    headers: tuple[str, ...]
    fields: tuple[str | None, ...]

    def __post_init__(self) -> None:
        if len(self.headers) != len(self.fields):
            raise ValueError("A matching needs one field or None for each heading.")
        for field_id in filter(None, self.fields):
            field_named(field_id)

    def header_of(self, field_id: str) -> str | None:
        """The heading of a field, or None when no column holds it."""
        return next((h for h, f in self.pairs() if f == field_id), None)

    def place_of(self, field_id: str) -> int | None:
        """The index of a field's column, or None."""
        return self.fields.index(field_id) if field_id in self.fields else None

    def pairs(self) -> Iterator[tuple[str, str | None]]:
        """(heading, field id or None), in the sheet's order."""
        return zip(self.headers, self.fields, strict=True)

    def to_dict(self) -> dict[str, str]:
        """{heading: field id or ""}: what is remembered of a matching."""
        return {header: field_id or "" for header, field_id in self.pairs()}


def guess_columns(headers: Sequence[str]) -> Matching:
    """The likeliest matching: the best likeness first, each field and each column once."""
    likenesses = [
        (likeness, -place, field.id)
        for place, header in enumerate(headers)
        for field in FIELDS
        if (likeness := _likeness(header, field)) >= LEAST_LIKENESS
    ]
    fields: list[str | None] = [None] * len(headers)
    for _, negative_place, field_id in sorted(likenesses, reverse=True):
        if fields[-negative_place] is None and field_id not in fields:
            fields[-negative_place] = field_id
    return Matching(tuple(headers), tuple(fields))


def remembered_columns(headers: Sequence[str], remembered: Mapping[str, str]) -> Matching:
    """A remembered matching laid over these headings; a heading not in it is not imported."""
    known = {field.id for field in FIELDS}
    chosen = (remembered.get(header, "") for header in headers)
    return Matching(tuple(headers), tuple(f if f in known else None for f in chosen))


def check_matching(matching: Matching) -> list[str]:
    """What stands in the way of using the matching, each a sentence; empty when nothing does."""
    problems = []
    for field in FIELDS:
        holders = [f"“{header}”" for header, field_id in matching.pairs() if field_id == field.id]
        if len(holders) > 1:
            problems.append(
                f"{field.label} is matched to {' and '.join(holders)}; keep one of them."
            )
        if field.required and not holders:
            problems.append(f"{field.label} is needed; choose the column that holds it.")
    return problems


def _likeness(header: str, field: Field) -> float:
    words = _plain(header)
    if not words:
        return 0.0
    names = map(_plain, field.spellings)
    return max(100.0 if words == name else _worded(words, name) for name in names)


def _worded(words: str, name: str) -> float:
    # Short names ("st", "hp") are too easily like something else: they must be equal.
    if min(len(words), len(name)) < 4:
        return 0.0
    return min(99.0, fuzz.token_sort_ratio(words, name))


def _plain(header: str) -> str:
    """Lower case, camel case divided, only letters and digits: "A/C Model#" is "ac model no"."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header).lower()
    spaced = spaced.replace("a/c", "ac").replace("e-mail", "email").replace("#", " no ")
    return " ".join(re.findall(r"[a-z0-9]+", spaced))
