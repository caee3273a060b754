"""A quarrel between readings, as it is told."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Contradiction:
    """`fields` are the readings that quarrel; `words` say how, and what to do."""

    fields: tuple[str, ...]
    words: str
    refuses: bool = True
    """False: it may be typed in, because something else than the reading may be wrong."""
