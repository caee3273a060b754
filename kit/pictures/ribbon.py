"""The season's ribbon: a column a day, its weather above, its visits stacked beneath.

Above lies the band of the daily maximum that eight days in ten stay within, with the
middle as a line and the test temperature across. Beneath hangs one mark a visit, in
the order of a visit's life, so that a look down a column tells what stands in that weather.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kit import words
from kit.pictures.temperature import Label, Point, TemperatureAxis, band_path, line_path

# Picture units; one unit is one CSS pixel at the natural size.
WEATHER_TOP_Y, WEATHER_BOTTOM_Y = 22.0, 206.0
WEEK_Y, STACK_Y = 224.0, 234.0
LEAST_STACK_HEIGHT = 60.0
MARK = 12.0
LEAST_DAY_WIDTH = 12.4

# A column holds this many marks of full size. As soon as one day has more, all are drawn
# half as large and two abreast: columns are compared by eye, so they share one measure.
ROOMY_COLUMN = 14
_COMPACT_COLUMN = 54
_COUNT_ROOM = 14.0
_WEEK_ROOM = 28.0
_ROUND_NUMBERS = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, slots=True)
class RibbonVisit:
    """A visit on its day. `warmth` None: needs none, or nobody has looked. `url` None: no link.

    `count` of them that look alike may come as one; `warmth` is then the least of theirs.
    """

    kind: str
    state: str
    label: str = ""
    url: str | None = None
    warmth: float | None = None
    count: int = 1


@dataclass(frozen=True, slots=True)
class RibbonDay:
    """A day with the quantiles of its daily maximum; `url` leads to its Day screen."""

    day: dt.date
    p10_f: float
    p50_f: float
    p90_f: float
    visits: tuple[RibbonVisit, ...] = ()
    workday: bool = True
    holiday: str | None = None
    url: str | None = None

    @property
    def count(self) -> int:
        return sum(visit.count for visit in self.visits)


@dataclass(frozen=True, slots=True)
class Mark:
    """A visit's shape, in units of a full-size mark from its column's corner."""

    x: float
    y: float
    state: str
    label: str
    url: str | None
    too_cold: bool
    needs_warmth: bool


@dataclass(frozen=True, slots=True)
class Column:
    """A day's column from `left`; its marks start at `x`. `name` says all of it in words."""

    left: float
    x: float
    width: float
    day: dt.date
    name: str
    url: str | None
    workday: bool
    note: str
    temperatures: str
    counts: str
    count: int
    marks: tuple[Mark, ...]
    count_y: float


@dataclass(frozen=True, slots=True)
class RibbonPicture:
    """Everything the template writes down; `description` tells the weather in a sentence."""

    width: float
    height: float
    axis: TemperatureAxis
    band: str
    median: str
    test_y: float
    test_label: str
    columns: tuple[Column, ...]
    weeks: tuple[Label, ...]
    today_x: float | None
    warm_x: float | None
    warm_label: str
    compact: bool
    visits_a_mark: int
    least_warmth: float
    description: str
    weather_top_y: float = WEATHER_TOP_Y
    weather_bottom_y: float = WEATHER_BOTTOM_Y
    week_y: float = WEEK_Y
    stack_y: float = STACK_Y

    @property
    def column_height(self) -> float:
        """From the top of the weather to the end of the stacks."""
        return self.height - self.weather_top_y


def draw_ribbon(
    days: Sequence[RibbonDay],
    test_temperature_f: float,
    width: float = 1180,
    *,
    today: dt.date | None = None,
    least_warmth: float = 0.8,
) -> RibbonPicture:
    """Lay out consecutive days.

    `width` in picture units is widened where days would get narrower than a mark.
    A standing visit whose warmth is under `least_warmth` gets the cold corner.
    ValueError when there are no days or they do not follow each other.
    """
    _check(days)
    day_width = max(width / len(days), LEAST_DAY_WIDTH)
    lefts = [round(index * day_width, 1) for index in range(len(days))]
    centres = [round(left + day_width / 2, 1) for left in lefts]
    axis = TemperatureAxis.around(
        [f for day in days for f in (day.p10_f, day.p90_f, test_temperature_f)],
        top_y=WEATHER_TOP_Y,
        bottom_y=WEATHER_BOTTOM_Y,
    )
    low, middle, high = (
        _line(centres, [axis.y(f) for f in values], day_width)
        for values in zip(*((day.p10_f, day.p50_f, day.p90_f) for day in days), strict=True)
    )
    stack = _stack(days)
    warm = _first_warm(days, test_temperature_f)
    return RibbonPicture(
        width=round(day_width * len(days), 1),
        height=STACK_Y + stack.height,
        axis=axis,
        band=band_path(high, low),
        median=line_path(middle),
        test_y=axis.y(test_temperature_f),
        test_label=f"test temperature {words.temperature(test_temperature_f)}",
        columns=tuple(
            _column(day, left, day_width, stack, least_warmth)
            for day, left in zip(days, lefts, strict=True)
        ),
        weeks=_weeks(days, lefts),
        today_x=next((x for day, x in zip(days, centres, strict=True) if day.day == today), None),
        warm_x=None if warm is None else lefts[warm],
        warm_label="" if warm is None else f"9 in 10 from {words.short_day(days[warm].day)}",
        compact=stack.abreast > 1,
        visits_a_mark=stack.visits_a_mark,
        least_warmth=least_warmth,
        description=_describe(days, test_temperature_f),
    )


@dataclass(frozen=True, slots=True)
class _Stack:
    """How the visits of every column are stacked, so that the fullest day fits."""

    visits_a_mark: int
    abreast: int
    pitch: float
    height: float


def _stack(days: Sequence[RibbonDay]) -> _Stack:
    fullest = max(day.count for day in days)
    if fullest <= ROOMY_COLUMN:
        return _Stack(1, 1, MARK, max(LEAST_STACK_HEIGHT, fullest * MARK + 6))
    needed = fullest / _COMPACT_COLUMN
    a_mark = next((n for n in _ROUND_NUMBERS if n >= needed), math.ceil(needed))
    rows = math.ceil(math.ceil(fullest / a_mark) / 2)
    return _Stack(a_mark, 2, MARK / 2, max(LEAST_STACK_HEIGHT, rows * MARK / 2 + _COUNT_ROOM))


def _check(days: Sequence[RibbonDay]) -> None:
    if not days:
        raise ValueError("A ribbon needs at least one day.")
    for before, after in pairwise(days):
        if after.day - before.day != dt.timedelta(days=1):
            raise ValueError(f"A ribbon's days follow each other; {after.day} is out of line.")


def _line(centres: list[float], ys: list[float], day_width: float) -> list[Point]:
    """Through the days' middles, drawn on level to both edges of the picture."""
    right = round(centres[-1] + day_width / 2, 1)
    return [(0.0, ys[0]), *zip(centres, ys, strict=True), (right, ys[-1])]


def _first_warm(days: Sequence[RibbonDay], test_temperature_f: float) -> int | None:
    """The first day from which nine highs in ten reach the test temperature, to the end."""
    cold = [i for i, day in enumerate(days) if day.p10_f < test_temperature_f]
    first = cold[-1] + 1 if cold else 0
    return first if first < len(days) else None


def _column(
    day: RibbonDay, left: float, day_width: float, stack: _Stack, least_warmth: float
) -> Column:
    in_order = sorted(day.visits, key=lambda visit: words.STATES.index(visit.state))
    marks = tuple(_marks(in_order, stack, least_warmth))
    rows, count = math.ceil(len(marks) / stack.abreast), day.count
    counts = words.state_counts(_by_state(in_order))
    low, middle, high = (words.temperature(f) for f in (day.p10_f, day.p50_f, day.p90_f))
    note = day.holiday or ("" if day.workday else "no work")
    parts = [
        words.day_name(day.day) + (f" ({note})" if note else ""),
        f"highs {low} to {high}",
        words.counted(count, "visit") + (f": {counts}" if counts else ""),
    ]
    return Column(
        left=left,
        x=round(left + (day_width - MARK) / 2, 1),
        width=round(day_width, 1),
        day=day.day,
        name=", ".join(parts),
        url=day.url,
        workday=day.workday,
        note=note,
        temperatures=f"{low}, {middle}, {high}",
        counts=counts,
        count=count,
        marks=marks,
        count_y=STACK_Y + rows * stack.pitch + 9,
    )


def _by_state(visits: Sequence[RibbonVisit]) -> Mapping[str, int]:
    counts: Counter[str] = Counter()
    for visit in visits:
        counts[visit.state] += visit.count
    return counts


def _marks(visits: Sequence[RibbonVisit], stack: _Stack, least_warmth: float) -> Iterator[Mark]:
    """One mark for the first visit and for each `visits_a_mark`-th after it."""
    seen = drawn = 0
    for visit in visits:
        seen += visit.count
        last = math.ceil(seen / stack.visits_a_mark)
        standing = visit.state in words.STANDING
        too_cold = standing and visit.warmth is not None and visit.warmth < least_warmth
        needs_warmth, label = visit.kind in words.NEED_WARMTH, _label(visit, standing)
        for index in range(drawn, last):
            row, place = divmod(index, stack.abreast)
            x, y = place * MARK, row * MARK
            yield Mark(x, y, visit.state, label, visit.url, too_cold, needs_warmth)
        drawn = last


def _label(visit: RibbonVisit, standing: bool) -> str:
    kind, warmth = words.check_kind(visit.kind), words.warmth_of_check(visit.kind, visit.warmth)
    return ", ".join([visit.label, kind, visit.state, *([warmth] if standing else [])])


def _weeks(days: Sequence[RibbonDay], lefts: list[float]) -> tuple[Label, ...]:
    """A date at each Monday, unless the picture ends before the word does."""
    return tuple(
        Label(left, words.short_day(day.day))
        for day, left in zip(days, lefts, strict=True)
        if day.day.weekday() == 0 and lefts[-1] - left >= _WEEK_ROOM
    )


def _describe(days: Sequence[RibbonDay], test_temperature_f: float) -> str:
    first, last = days[0], days[-1]
    sentence = (
        f"The middle of the daily highs goes from {words.temperature(first.p50_f)} on "
        f"{words.day_name(first.day)} to {words.temperature(last.p50_f)} on "
        f"{words.day_name(last.day)}"
    )
    warm = _first_warm(days, test_temperature_f)
    test = words.temperature(test_temperature_f)
    if warm is None:
        return f"{sentence}; to the end, fewer than nine highs in ten reach {test}."
    return f"{sentence}; from {words.day_name(days[warm].day)} nine highs in ten reach {test}."
