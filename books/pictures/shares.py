"""What became of a season's checks, as one bar a season, divided. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit import words

WIDTH, HEIGHT, BAR_Y, BAR_HEIGHT = 640.0, 54.0, 22.0, 22.0
LEAST_FOR_A_WORD = 34.0  # a narrower piece holds no number


@dataclass(frozen=True, slots=True)
class Piece:
    """`look` names the fill in the style sheet; `shows` says whether the number fits into it."""

    look: str
    label: str
    count: int
    x: float
    width: float
    shows: bool

    @property
    def name(self) -> str:
        return f"{self.label}: {self.count:,}"


@dataclass(frozen=True, slots=True)
class SharesPicture:
    title: str
    pieces: tuple[Piece, ...]
    description: str
    width: float = WIDTH
    height: float = HEIGHT
    bar_y: float = BAR_Y
    bar_height: float = BAR_HEIGHT


def draw_shares(title: str, parts: Sequence[tuple[str, str, int]]) -> SharesPicture | None:
    """`parts`: look, label, count. None: all are nothing."""
    whole = sum(count for *_, count in parts)
    if not whole:
        return None
    pieces, x = [], 0.0
    for look, label, count in parts:
        width = count / whole * WIDTH
        if count:
            fits = width >= LEAST_FOR_A_WORD
            pieces.append(Piece(look, label, count, round(x, 1), round(width, 1), fits))
        x += width
    told = ", ".join(f"{label.lower()} {count:,}" for _, label, count in parts if count)
    return SharesPicture(title, tuple(pieces), f"{title}: {words.counted(whole, 'check')}; {told}.")
