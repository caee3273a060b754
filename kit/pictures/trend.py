"""One reading over the years as a small line, with its limit. Pure."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

# Picture units; one unit is one CSS pixel at the natural size.
WIDTH, HEIGHT = 160.0, 44.0
MARGIN = 7.0  # room for a dot at the edge
# A reading that hardly moved is not blown up to the whole height: at least this share of it.
LEAST_SPREAD = 0.1


@dataclass(frozen=True, slots=True)
class Reading:
    """A value on its day; `anew`: the part was new then, so no line leads here."""

    day: dt.date
    value: float
    anew: bool = False


@dataclass(frozen=True, slots=True)
class Dot:
    x: float
    y: float
    last: bool


@dataclass(frozen=True, slots=True)
class TrendPicture:
    """Everything the template writes down; `limits` are heights of dashed lines."""

    line: str
    dots: tuple[Dot, ...]
    limits: tuple[float, ...]
    width: float = WIDTH
    height: float = HEIGHT


def draw_trend(readings: Sequence[Reading], limits: Sequence[float] = ()) -> TrendPicture | None:
    """Lay out the readings, oldest first. None: fewer than two, so there is no line to see."""
    if len(readings) < 2:
        return None
    days = [one.day.toordinal() for one in readings]
    first, length = days[0], max(days[-1] - days[0], 1)
    low, high = _spread([*(one.value for one in readings), *limits])

    def y(value: float) -> float:
        return round(HEIGHT - MARGIN - (value - low) / (high - low) * (HEIGHT - 2 * MARGIN), 1)

    dots = tuple(
        Dot(
            x=round(MARGIN + (day - first) / length * (WIDTH - 2 * MARGIN), 1),
            y=y(one.value),
            last=one is readings[-1],
        )
        for day, one in zip(days, readings, strict=True)
    )
    return TrendPicture(_line(readings, dots), dots, tuple(y(limit) for limit in limits))


def _spread(values: Sequence[float]) -> tuple[float, float]:
    """The lowest and highest value shown."""
    low, high = min(values), max(values)
    short = LEAST_SPREAD * max(abs(low), abs(high), 1.0) - (high - low)
    return (low - short / 2, high + short / 2) if short > 0 else (low, high)


def _line(readings: Sequence[Reading], dots: Sequence[Dot]) -> str:
    """An SVG path from dot to dot, broken before a new part."""
    strokes = ["M", *("M" if one.anew else "L" for one in readings[1:])]
    return "".join(f"{stroke}{dot.x} {dot.y}" for stroke, dot in zip(strokes, dots, strict=True))
