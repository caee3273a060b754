"""The cold-to-warm scale, and the axis that lays temperatures out on a picture.

The scale is the only colouring in Redbud that means something by colour, and it means
temperature. The colours stand in static/css/tokens.css as --temperature-30 ... -90.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kit import words

STOPS_F = (30, 40, 50, 60, 70, 80, 90)

# Room kept above and below what is drawn, so that no line lies on the frame.
_ROOM_F = 4.0
_GRID_STEP_F = 10

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """A word at `x` on one of the picture's fixed lines."""

    x: float
    text: str


@dataclass(frozen=True, slots=True)
class GridLine:
    """A thin line at a round temperature, `y` in picture units."""

    y: float
    label: str


@dataclass(frozen=True, slots=True)
class ColourStop:
    """One stop of the scale: `offset` from 0 (coldest) to 1, and the token's number."""

    offset: float
    token: int


@dataclass(frozen=True, slots=True)
class TemperatureAxis:
    """From °F to picture units; y grows downward, so `top_y` belongs to `high_f`."""

    low_f: float
    high_f: float
    top_y: float
    bottom_y: float

    @classmethod
    def around(cls, values_f: Iterable[float], *, top_y: float, bottom_y: float) -> TemperatureAxis:
        """An axis in whole tens that shows every value; ValueError when there is none."""
        values = list(values_f)
        if not values or not all(map(math.isfinite, values)):
            raise ValueError("A temperature axis needs at least one value, all of them finite.")
        low_f = math.floor((min(values) - _ROOM_F) / _GRID_STEP_F) * _GRID_STEP_F
        high_f = math.ceil((max(values) + _ROOM_F) / _GRID_STEP_F) * _GRID_STEP_F
        return cls(low_f, high_f, top_y, bottom_y)

    def y(self, value_f: float) -> float:
        """Where a temperature lies, in picture units."""
        share = (value_f - self.low_f) / (self.high_f - self.low_f)
        return round(self.bottom_y - share * (self.bottom_y - self.top_y), 1)

    def grid(self) -> tuple[GridLine, ...]:
        """A line at each ten degrees, the lowest first."""
        tens = range(int(self.low_f), int(self.high_f) + 1, _GRID_STEP_F)
        return tuple(GridLine(self.y(value), words.temperature(value)) for value in tens)

    @property
    def coldest_y(self) -> float:
        """Where the scale's first colour belongs; may lie outside the picture."""
        return self.y(STOPS_F[0])

    @property
    def warmest_y(self) -> float:
        """Where the scale's last colour belongs; may lie outside the picture."""
        return self.y(STOPS_F[-1])

    def stops(self) -> tuple[ColourStop, ...]:
        """The scale's colours from `coldest_y` up to `warmest_y`."""
        span = STOPS_F[-1] - STOPS_F[0]
        return tuple(ColourStop(round((f - STOPS_F[0]) / span, 3), f) for f in STOPS_F)


def line_path(points: Sequence[Point]) -> str:
    """An SVG path through the points; empty for none."""
    if not points:
        return ""
    return "M" + "L".join(f"{x:g} {y:g}" for x, y in points)


def band_path(upper: Sequence[Point], lower: Sequence[Point]) -> str:
    """An SVG path around the area between two lines with the same x."""
    return line_path([*upper, *reversed(lower)]) + "Z" if upper else ""
