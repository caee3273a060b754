"""Two figures against each other: marks on a plane, some joined by a line.

What is better lies up (and to the right, or to the left: the axis' words say so). Each mark has a
shape and a word, so that no colour is needed to tell one from another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kit.pictures.temperature import Label, line_path

# Picture units; one unit is one CSS pixel at the natural size.
WIDTH, HEIGHT = 560.0, 320.0
LEFT, RIGHT, TOP, BOTTOM = 52.0, 20.0, 28.0, 46.0
MARK = 12.0
_LETTER_WIDTH = 6.4  # measured on Source Sans 3 at 11.5 px, a little generously
_LINE = 13.0


@dataclass(frozen=True, slots=True)
class Axis:
    """A scale from `low` to `high` with a line at each of `ticks`."""

    low: float
    high: float
    ticks: tuple[float, ...]
    words: str
    tick_words: Callable[[float], str] = lambda value: f"{value:g}"

    @classmethod
    def around(
        cls,
        values: Sequence[float],
        step: float,
        words: str,
        *,
        high: float | None = None,
        tick_words: Callable[[float], str] = lambda value: f"{value:g}",
    ) -> Axis:
        """An axis in whole steps that holds every value; ValueError when there is none."""
        if not values:
            raise ValueError("An axis needs at least one value.")
        first = int((min(values) - step / 4) // step)
        last = -int(-(max(values) + step / 4) // step)
        if high is not None:
            last = min(last, int(high // step))
        last = max(last, first + 1)
        ticks = tuple(n * step for n in range(first, last + 1))
        return cls(ticks[0], ticks[-1], ticks, words, tick_words)


@dataclass(frozen=True, slots=True)
class PlaneMark:
    """A value pair. `shape` is a symbol of kit/_shapes.svg, `name` says all of it in words."""

    x: float
    y: float
    shape: str
    label: str
    name: str


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with its corner and where its word stands; the word is empty where it has no room."""

    x: float
    y: float
    shape: str
    label: str
    label_x: float
    label_y: float
    anchor: str
    name: str


@dataclass(frozen=True, slots=True)
class GridLine:
    """A thin line across, with its value."""

    y: float
    text: str


@dataclass(frozen=True, slots=True)
class PlanePicture:
    """Everything the template writes down."""

    marks: tuple[PlacedMark, ...]
    lines: tuple[str, ...]
    columns: tuple[Label, ...]
    rows: tuple[GridLine, ...]
    x_words: str
    y_words: str
    width: float = WIDTH
    height: float = HEIGHT
    left: float = LEFT
    right: float = WIDTH - RIGHT
    top: float = TOP
    bottom: float = HEIGHT - BOTTOM


def draw_plane(
    marks: Sequence[PlaneMark], curves: Sequence[Sequence[PlaneMark]], x_axis: Axis, y_axis: Axis
) -> PlanePicture:
    """Lay out single marks, and curves of marks joined in their order."""

    def x(value: float) -> float:
        share = (value - x_axis.low) / (x_axis.high - x_axis.low)
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 1)

    def y(value: float) -> float:
        share = (value - y_axis.low) / (y_axis.high - y_axis.low)
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 1)

    placed: list[PlacedMark] = []
    for mark in [*marks, *(mark for curve in curves for mark in curve)]:
        placed.append(_placed(mark, x(mark.x), y(mark.y), placed))
    return PlanePicture(
        marks=tuple(placed),
        lines=tuple(line_path([(x(mark.x), y(mark.y)) for mark in curve]) for curve in curves),
        columns=tuple(Label(x(tick), x_axis.tick_words(tick)) for tick in x_axis.ticks),
        rows=tuple(GridLine(y(tick), y_axis.tick_words(tick)) for tick in y_axis.ticks),
        x_words=x_axis.words,
        y_words=y_axis.words,
    )


def _placed(mark: PlaneMark, x: float, y: float, others: Sequence[PlacedMark]) -> PlacedMark:
    beside, above = MARK / 2 + 4, MARK / 2 + 5
    spots = (
        (x + beside, y + 4, "start"),
        (x - beside, y + 4, "end"),
        (x, y - above, "middle"),
        (x, y + above + 8, "middle"),
    )
    free = (
        PlacedMark(
            x=round(x - MARK / 2, 1),
            y=round(y - MARK / 2, 1),
            shape=mark.shape,
            label=mark.label,
            label_x=round(label_x, 1),
            label_y=round(label_y, 1),
            anchor=anchor,
            name=mark.name,
        )
        for label_x, label_y, anchor in spots
    )
    fitting = (one for one in free if _has_room(one, others))
    without = PlacedMark(
        round(x - MARK / 2, 1), round(y - MARK / 2, 1), mark.shape, "", x, y, "start", mark.name
    )
    return next(fitting, without)


def _has_room(mark: PlacedMark, others: Sequence[PlacedMark]) -> bool:
    """Whether its word stays in the picture, and clear of the other marks and their words."""
    left, right = _reach(mark)
    if left < LEFT - MARK or right > WIDTH - 4 or mark.label_y < TOP - MARK:
        return False
    for other in others:
        word_left, word_right = _reach(other)
        same_line = bool(other.label) and abs(other.label_y - mark.label_y) < _LINE
        at_its_height = 0 < mark.label_y + 2 - other.y < MARK + 8
        if same_line and left < word_right + 4 and word_left < right + 4:
            return False
        if at_its_height and left < other.x + MARK and other.x < right:
            return False
    return True


def _reach(mark: PlacedMark) -> tuple[float, float]:
    """Where the mark's word begins and ends."""
    wide = _LETTER_WIDTH * len(mark.label)
    before = {"start": 0.0, "middle": wide / 2, "end": wide}[mark.anchor]
    return mark.label_x - before, mark.label_x - before + wide
