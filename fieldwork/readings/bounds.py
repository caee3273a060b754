"""What may be typed into a field for this equipment, and what is asked about."""

from __future__ import annotations

from collections.abc import Mapping

from fieldwork.readings.equipment import Equipment
from fieldwork.readings.fields.field import Field, Range, Value


def hard_range(field: Field, equipment: Equipment, so_far: Mapping[str, Value]) -> Range | None:
    """Beyond it a value is refused. None: no bound."""
    raise NotImplementedError


def soft_range(field: Field, equipment: Equipment, so_far: Mapping[str, Value]) -> Range | None:
    """Beyond it a value is asked about. None: nothing is odd."""
    raise NotImplementedError
