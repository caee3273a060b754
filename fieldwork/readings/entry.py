"""What a technician typed, as a reading: accepted, asked about, or refused. Nothing is guessed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Field, Value


@dataclass(frozen=True)
class Accepted:
    """`value` None: the field was left empty, the reading is not given."""

    value: Value | None


@dataclass(frozen=True)
class Asked:
    """Possible, but odd. `value` is what it is taken as if the technician is sure.

    `instead` is another reading of what was typed, such as °C; None is no suggestion.
    """

    value: Value
    question: str
    instead: float | None = None


@dataclass(frozen=True)
class Refused:
    """`words` say what is allowed. The caller keeps what was typed on the screen."""

    words: str


Entry = Accepted | Asked | Refused


def read_entry(
    field: Field,
    text: str,
    equipment: Equipment,
    so_far: Mapping[str, Value],
    sure: bool = False,
) -> Entry:
    """Read one field. `so_far` are the readings of this visit; the field's own is not looked at.

    `sure`: the technician has answered the question with yes, so that none is asked again.
    """
    raise NotImplementedError
