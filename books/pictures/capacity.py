"""Warm hours by date against visits owed: bands of certainty, real springs, the line owed. Pure.

The height is in visits, so that what is owed is a level line: where a certainty's curve crosses
it, the season is cleared.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from kit import words

WIDTH, HEIGHT = 720.0, 280.0
LEFT, RIGHT, TOP_Y, BOTTOM_Y, LABEL_Y = 56.0, 670.0, 24.0, 250.0, 270.0
STEPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Curve:
    """`certainty` as "95 %"; `end_y` is where its label stands."""

    certainty: str
    path: str
    end_y: float


@dataclass(frozen=True, slots=True)
class Level:
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class Tick:
    x: float
    text: str


@dataclass(frozen=True, slots=True)
class CapacityPicture:
    curves: tuple[Curve, ...]
    band: str
    springs: tuple[str, ...]
    owed_y: float
    owed_words: str
    levels: tuple[Level, ...]
    ticks: tuple[Tick, ...]
    description: str
    width: float = WIDTH
    height: float = HEIGHT
    left: float = LEFT
    right: float = RIGHT
    top_y: float = TOP_Y
    bottom_y: float = BOTTOM_Y
    label_y: float = LABEL_Y


def draw_capacity(
    days: Sequence[dt.date],
    curves: Sequence[tuple[float, Sequence[float]]],
    owed: int,
    springs: Sequence[Sequence[float]] = (),
) -> CapacityPicture | None:
    """`curves`: certainty, and visits that fit by each day's end; likewise `springs`, real ones.

    None: there is no day.
    """
    if not days or not curves:
        return None
    most = max(float(owed), 1.0, *(max(values) for _, values in curves), *(s[-1] for s in springs))
    step = _step(most)
    top = step * (int(most // step) + 1)

    def x(n: int) -> float:
        return round(LEFT + (n + 1) / len(days) * (RIGHT - LEFT), 1)

    def y(visits: float) -> float:
        return round(BOTTOM_Y - visits / top * (BOTTOM_Y - TOP_Y), 1)

    def path(values: Sequence[float]) -> str:
        points = "".join(f"L{x(n)} {y(value)}" for n, value in enumerate(values))
        return f"M{LEFT} {BOTTOM_Y}{points}"

    drawn = sorted(curves)
    likely, sure = drawn[0][1], drawn[-1][1]
    back = "".join(f"L{x(n)} {y(sure[n])}" for n in reversed(range(len(days))))
    return CapacityPicture(
        curves=_apart([Curve(words.percent(c), path(v), y(v[-1])) for c, v in drawn]),
        band=f"{path(likely)}{back}Z",
        springs=tuple(path(one) for one in springs),
        owed_y=y(owed),
        owed_words=f"{owed:,} owed",
        levels=tuple(Level(y(n), f"{n:,}") for n in range(0, int(top) + 1, step)),
        ticks=_ticks(days, x),
        description=f"{words.counted(owed, 'visit')} owed; by the end there is warm time for "
        + ", ".join(f"{int(v[-1]):,} at {words.percent(c)} certainty" for c, v in drawn)
        + ".",
    )


def _step(most: float) -> int:
    """A round distance of the level lines: at most six of them."""
    size = 1
    while True:
        for factor in STEPS:
            if most / (factor * size) <= 6:
                return factor * size
        size *= 10


def _ticks(days: Sequence[dt.date], x) -> tuple[Tick, ...]:  # type: ignore[no-untyped-def]
    mondays = [n for n, day in enumerate(days) if day.weekday() == 0]
    every = max(1, -(-len(mondays) // 9))
    return tuple(Tick(x(n - 1), words.short_day(days[n])) for n in mondays[::every])


def _apart(curves: list[Curve], least: float = 14.0) -> tuple[Curve, ...]:
    """Labels that would touch are moved down the picture, the surest lowest."""
    placed: list[Curve] = []
    for curve in curves:
        end_y = max(curve.end_y, placed[-1].end_y + least) if placed else curve.end_y
        placed.append(Curve(curve.certainty, curve.path, end_y))
    return tuple(placed)
