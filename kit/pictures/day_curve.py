"""A day's work beside its hourly temperature: from what hour is the day testable?

Above lies the temperature through the day, beneath one lane a technician, on the same
hours. The hours in which it is too cold to test are hatched through both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit import words
from kit.pictures.temperature import Label, TemperatureAxis, band_path, line_path
from kit.pictures.warm_spans import Span, warm_spans

# Picture units; one unit is one CSS pixel at the natural size.
WEATHER_TOP_Y, WEATHER_BOTTOM_Y = 26.0, 176.0
HOUR_Y, LANES_Y = 194.0, 206.0
LANE_HEIGHT, BLOCK_HEIGHT = 60.0, 46.0
# Measured on Source Sans 3 semibold at 13 px, a little generously.
_LETTER_WIDTH = 7.0
_TEXT_INSET = 22.0
_LUNCH_WIDTH = 32.0
_VERDICT_WIDTH = 150.0
MARK = 12.0


@dataclass(frozen=True, slots=True)
class DayBlock:
    """A visit in its slot, minutes after local midnight; `warmth` as in RibbonVisit."""

    start_min: int
    end_min: int
    state: str
    kind: str
    label: str
    url: str | None = None
    warmth: float | None = None


@dataclass(frozen=True, slots=True)
class DayHours:
    """A technician's day: blocks in order, lunch as (start, end) minutes or None."""

    technician: str
    blocks: tuple[DayBlock, ...] = ()
    lunch: Span | None = None


@dataclass(frozen=True, slots=True)
class Box:
    """A visit's rectangle on a lane; `name` says all of it in words."""

    x: float
    y: float
    width: float
    height: float
    state: str
    text: str
    detail: str
    name: str
    url: str | None
    too_cold: bool

    @property
    def right(self) -> float:
        return round(self.x + self.width, 1)

    @property
    def bottom(self) -> float:
        return self.y + self.height

    @property
    def mark_x(self) -> float:
        """Where the mark of its state stands; in the middle when there is room for no more."""
        return round(self.x + min(6, (self.width - MARK) / 2), 1)

    @property
    def mark_y(self) -> float:
        return self.y + 8


@dataclass(frozen=True, slots=True)
class Lunch:
    """The pause on a lane; `text` is empty where the word has no room."""

    x: float
    y: float
    width: float
    height: float
    middle_x: float
    text: str


@dataclass(frozen=True, slots=True)
class Lane:
    """A technician's row; `from_x` to `to_x` is the road from first to last visit."""

    technician: str
    y: float
    middle_y: float
    boxes: tuple[Box, ...]
    lunch: Lunch | None
    from_x: float
    to_x: float


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of hours too cold to test."""

    x: float
    width: float


@dataclass(frozen=True, slots=True)
class DayCurvePicture:
    """Everything the template writes down; `testable` says the day's verdict in words."""

    width: float
    height: float
    axis: TemperatureAxis
    band: str
    median: str
    test_y: float
    test_label: str
    ticks: tuple[Label, ...]
    cold: tuple[Strip, ...]
    testable_x: float | None
    testable: str
    lanes: tuple[Lane, ...]
    description: str
    weather_top_y: float = WEATHER_TOP_Y
    weather_bottom_y: float = WEATHER_BOTTOM_Y
    hour_y: float = HOUR_Y
    lanes_y: float = LANES_Y

    @property
    def testable_anchor(self) -> str:
        """To which side of its line the verdict is written, so that it stays in the picture."""
        late = self.testable_x is not None and self.testable_x > self.width - _VERDICT_WIDTH
        return "end" if late else "start"


@dataclass(frozen=True, slots=True)
class _Hours:
    """The time axis: minutes shown, and picture units for a minute."""

    first_min: int
    last_min: int
    width: float

    def x(self, minute: float) -> float:
        return round((minute - self.first_min) / (self.last_min - self.first_min) * self.width, 1)


def draw_day_curve(
    rows: Sequence[DayHours],
    p10_f: Sequence[float],
    p50_f: Sequence[float],
    p90_f: Sequence[float],
    *,
    test_temperature_f: float,
    testable: Sequence[Span] | None = None,
    least_warmth: float = 0.8,
    hours_shown: Span = (7 * 60, 19 * 60),
    width: float = 1132,
) -> DayCurvePicture:
    """Lay out one day.

    The curves are 24 hourly temperatures of the local clock, °F. `testable` are the
    stretches in which a check may start (minutes), by default those in which the middle
    curve is at or above the test temperature. `hours_shown` is widened to hold every block.
    ValueError when a curve does not have 24 hours.
    """
    if any(len(curve) != 24 for curve in (p10_f, p50_f, p90_f)):
        raise ValueError("A day's curve has 24 hourly temperatures.")
    hours = _hours(rows, hours_shown, width)
    first_h, last_h = hours.first_min // 60, min(hours.last_min // 60, 23)
    shown = slice(first_h, last_h + 1)
    axis = TemperatureAxis.around(
        [*p10_f[shown], *p90_f[shown], test_temperature_f],
        top_y=WEATHER_TOP_Y,
        bottom_y=WEATHER_BOTTOM_Y,
    )

    def curve(values: Sequence[float]) -> list[tuple[float, float]]:
        return [(hours.x(60 * h), axis.y(values[h])) for h in range(first_h, last_h + 1)]

    spans = warm_spans(p50_f, test_temperature_f) if testable is None else testable
    warm = _clipped(spans, hours)
    verdict = _verdict(warm, hours)
    return DayCurvePicture(
        width=width,
        height=LANES_Y + max(len(rows), 1) * LANE_HEIGHT,
        axis=axis,
        band=band_path(curve(p90_f), curve(p10_f)),
        median=line_path(curve(p50_f)),
        test_y=axis.y(test_temperature_f),
        test_label=f"test temperature {words.temperature(test_temperature_f)}",
        ticks=_ticks(hours),
        cold=_cold(warm, hours),
        testable_x=hours.x(warm[0][0]) if warm else None,
        testable=verdict,
        lanes=tuple(_lane(row, index, hours, least_warmth) for index, row in enumerate(rows)),
        description=f"{verdict}. Warmest hour about {words.temperature(max(p50_f[shown]))}.",
    )


def _hours(rows: Sequence[DayHours], shown: Span, width: float) -> _Hours:
    starts = [block.start_min for row in rows for block in row.blocks]
    ends = [block.end_min for row in rows for block in row.blocks]
    first = min([shown[0], *starts]) // 60 * 60
    last = -(-max([shown[1], *ends]) // 60) * 60
    return _Hours(max(first, 0), min(last, 24 * 60), width)


def _ticks(hours: _Hours) -> tuple[Label, ...]:
    """Each hour but the first and the last, whose words would be cut at the edge."""
    inner = range(hours.first_min + 60, hours.last_min, 60)
    return tuple(
        Label(hours.x(minute), words.clock_at(minute).replace(":00", "")) for minute in inner
    )


def _clipped(spans: Sequence[Span], hours: _Hours) -> list[Span]:
    """What of the stretches lies within the hours shown."""
    clipped = [(max(start, hours.first_min), min(end, hours.last_min)) for start, end in spans]
    return [(start, end) for start, end in clipped if start < end]


def _cold(warm: Sequence[Span], hours: _Hours) -> tuple[Strip, ...]:
    """What the testable stretches leave of the hours shown."""
    edges = [hours.first_min, *(minute for span in warm for minute in span), hours.last_min]
    gaps = zip(edges[::2], edges[1::2], strict=True)
    return tuple(
        Strip(hours.x(start), round(hours.x(end) - hours.x(start), 1))
        for start, end in gaps
        if start < end
    )


def _verdict(warm: Sequence[Span], hours: _Hours) -> str:
    if not warm:
        return "Too cold to test all day"
    begins, ends = warm[0][0], warm[-1][1]
    since = f" from {words.clock_at(begins)}" if begins > hours.first_min else ""
    until = f" until {words.clock_at(ends)}" if ends < hours.last_min else ""
    return f"Testable{since}{until}" if since or until else "Testable all day"


def _lane(row: DayHours, index: int, hours: _Hours, least_warmth: float) -> Lane:
    y = LANES_Y + index * LANE_HEIGHT
    boxes = tuple(_box(block, y, hours, least_warmth) for block in row.blocks)
    return Lane(
        technician=row.technician,
        y=y,
        middle_y=y + LANE_HEIGHT / 2,
        boxes=boxes,
        lunch=_lunch(row.lunch, y, hours) if row.lunch else None,
        from_x=boxes[0].x if boxes else 0,
        to_x=boxes[-1].x if boxes else 0,
    )


def _lunch(span: Span, lane_y: float, hours: _Hours) -> Lunch:
    x = hours.x(span[0])
    width = round(hours.x(span[1]) - x, 1)
    return Lunch(
        x=x,
        y=lane_y + (LANE_HEIGHT - BLOCK_HEIGHT) / 2,
        width=width,
        height=BLOCK_HEIGHT,
        middle_x=round(x + width / 2, 1),
        text="lunch" if width >= _LUNCH_WIDTH else "",
    )


def _box(block: DayBlock, lane_y: float, hours: _Hours, least_warmth: float) -> Box:
    x = hours.x(block.start_min)
    width = round(max(hours.x(block.end_min) - x - 2, 2), 1)
    room = int((width - _TEXT_INSET) / _LETTER_WIDTH)
    starts, ends = words.clock_at(block.start_min), words.clock_at(block.end_min)
    detail = starts if block.warmth is None else f"{words.percent(block.warmth)} warm"
    return Box(
        x=x,
        y=lane_y + (LANE_HEIGHT - BLOCK_HEIGHT) / 2,
        width=width,
        height=BLOCK_HEIGHT,
        state=block.state,
        text=words.shortened(block.label, room),
        detail=detail if len(detail) <= room + 1 else "",
        name=f"{starts} to {ends}, {block.label}, {words.check_kind(block.kind)}, "
        f"{block.state}, {words.warmth_of_check(block.kind, block.warmth)}",
        url=block.url,
        too_cold=block.state in words.STANDING
        and block.warmth is not None
        and block.warmth < least_warmth,
    )
