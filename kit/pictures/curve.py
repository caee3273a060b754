"""A search's score over time: a line that only falls, on a scale of powers. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

# Picture units; one unit is one CSS pixel at the natural size.
WIDTH, HEIGHT = 560.0, 150.0
LEFT, RIGHT, TOP, BOTTOM = 62.0, 14.0, 12.0, 24.0
# Steps of the scale: of each power of ten these are written.
_STEPS = (1, 2, 5)
_FLAT = 1.02  # a score that hardly moved still gets this much of a scale


@dataclass(frozen=True, slots=True)
class Tick:
    at: float
    text: str


@dataclass(frozen=True, slots=True)
class CurvePicture:
    """Everything the template writes down; `description` says the same in a sentence."""

    line: str
    end_x: float
    end_y: float
    ups: tuple[Tick, ...]
    alongs: tuple[Tick, ...]
    description: str
    width: float = WIDTH
    height: float = HEIGHT
    left: float = LEFT
    right: float = WIDTH - RIGHT
    bottom: float = HEIGHT - BOTTOM


def draw_curve(points: Sequence[Sequence[float]], seconds: float) -> CurvePicture | None:
    """`points`: (seconds, score) and perhaps more, in order of time; `seconds`: the whole search.

    None with fewer than two points: there is no line to see. Scores below one count as one.
    """
    if len(points) < 2:
        return None
    times = [float(point[0]) for point in points]
    scores = [max(float(point[1]), 1.0) for point in points]
    longest = max(seconds, times[-1], 1e-9)
    low, high = min(scores), max(max(scores), min(scores) * _FLAT)
    bottom, plane = math.log(low / _FLAT), math.log(high * _FLAT) - math.log(low / _FLAT)

    def x(time: float) -> float:
        return round(LEFT + time / longest * (WIDTH - LEFT - RIGHT), 1)

    def y(score: float) -> float:
        share = (math.log(score) - bottom) / plane
        return round(HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP), 1)

    places = [(x(time), y(score)) for time, score in zip(times, scores, strict=True)]
    # A better plan counts from the moment it is found: across, then down.
    steps = "".join(f"H{px}V{py}" for px, py in places[1:])
    return CurvePicture(
        line=f"M{places[0][0]} {places[0][1]}{steps}",
        end_x=places[-1][0],
        end_y=places[-1][1],
        ups=tuple(Tick(y(value), f"{value:,}") for value in _round_values(low, high)),
        alongs=(Tick(x(0.0), "0 s"), Tick(x(longest), _seconds(longest))),
        description=(
            f"After {_seconds(times[-1])} the score has come from {round(scores[0]):,} down to "
            f"{round(scores[-1]):,} minutes."
        ),
    )


def _round_values(low: float, high: float) -> list[int]:
    """Round numbers inside the scale, at most five; the ends of a short scale."""
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    inside = [v for p in powers for step in _STEPS if low <= (v := step * 10**p) <= high]
    whole = [int(value) for value in inside if value >= 1]
    if len(whole) < 2:
        return sorted({round(low), round(high)})
    return whole[:: -(-len(whole) // 5)]


def _seconds(value: float) -> str:
    return f"{value:.0f} s" if value < 120 else f"{value / 60:.0f} min"
