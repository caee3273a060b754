"""Readings that cannot all be true. Whoever judges leaves them out; nothing is ever deleted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Value


@dataclass(frozen=True)
class Contradiction:
    """`fields` are the readings that quarrel; `words` say how, and what to do."""

    fields: tuple[str, ...]
    words: str


def contradictions(
    equipment: Equipment, readings: Mapping[str, Value]
) -> tuple[Contradiction, ...]:
    """What cannot be true together, such as a wet bulb above its dry bulb."""
    raise NotImplementedError
