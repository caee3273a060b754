"""What becomes of each row of a spreadsheet. Plain data for the screen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from customers.spreadsheet.outcomes import Note, Refusal


class Kind(StrEnum):
    """The fate of a row. A row alike to another waits for the office and is not brought in."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"
    ALIKE = "alike"


APART = "apart"  # the answer to an offer: these are two


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact that a row changes; `was` is "" when nothing was on file."""

    label: str
    was: str
    becomes: str


@dataclass(frozen=True, slots=True)
class Choice:
    """An answer that the office may give to an offer: its value in a form, and its words."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class RowOutcome:
    """One row of the dry run.

    `says`: its systems and agreement in words. `asks`: why it is offered, the likeliest first.
    `decision` is the value of the choice made, or "".
    """

    row: int
    kind: Kind
    who: str
    where: str = ""
    says: str = ""
    notes: tuple[Note, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    differences: tuple[Difference, ...] = ()
    asks: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    decision: str = ""
    home_pk: int | None = None


def counted(outcomes: list[RowOutcome]) -> dict[str, int]:
    """How many rows of each kind, every kind named."""
    counts = {kind.value: 0 for kind in Kind}
    for outcome in outcomes:
        counts[outcome.kind.value] += 1
    return counts
