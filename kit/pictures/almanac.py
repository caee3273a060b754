"""The days around today: what they are usually like, what was foretold, and what came.

A column a day. The band is the daily maximum that eight days in ten stay within; over it stand
the maxima that came (dots), what the day before had foretold of them (open diamonds, joined by a
stick as long as the error), and what is foretold now (whiskers). Pure.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from kit import words
from kit.pictures.temperature import Label, TemperatureAxis, band_path, line_path

# Picture units; one unit is one CSS pixel at the natural size.
DAY_WIDTH = 15.0
TOP_Y, BOTTOM_Y, WEEK_Y, HEIGHT = 24.0, 244.0, 262.0, 270.0
_MONDAY = 0


@dataclass(frozen=True, slots=True)
class Range:
    """Tenth percentile, median, ninetieth percentile of a day's maximum, °F."""

    low_f: float
    middle_f: float
    high_f: float


@dataclass(frozen=True, slots=True)
class AlmanacDay:
    """`usual` is the climate's; `foretold` stands now, `foretold_before_f` stood the day before.

    None where there is none.
    """

    day: dt.date
    usual: Range
    foretold: Range | None = None
    foretold_before_f: float | None = None
    came_f: float | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """A day at `x`, its middle; heights of its marks, None where there is none."""

    day: dt.date
    x: float
    left: float
    came_y: float | None
    before_y: float | None
    middle_y: float | None
    low_y: float | None
    high_y: float | None
    usual: str
    foretold: str
    before: str
    came: str

    @property
    def name(self) -> str:
        """All of it in words."""
        said = [
            f"{words.day_name(self.day)}: usually {self.usual}",
            self.foretold and f"foretold {self.foretold}",
            self.before and f"the day before said {self.before}",
            self.came and f"came {self.came}",
        ]
        return ", ".join(part for part in said if part)


@dataclass(frozen=True, slots=True)
class AlmanacPicture:
    """Everything the template writes down; `description` tells it in a sentence."""

    width: float
    axis: TemperatureAxis
    band: str
    median: str
    test_y: float
    test_label: str
    columns: tuple[Column, ...]
    weeks: tuple[Label, ...]
    today_x: float | None
    description: str
    height: float = HEIGHT
    top_y: float = TOP_Y
    bottom_y: float = BOTTOM_Y
    week_y: float = WEEK_Y
    day_width: float = DAY_WIDTH


def draw_almanac(
    days: Sequence[AlmanacDay], *, today: dt.date, test_temperature_f: float
) -> AlmanacPicture:
    """Lay out the days in their order. ValueError when there is none."""
    axis = TemperatureAxis.around(
        [test_temperature_f, *(value for day in days for value in _values(day))],
        top_y=TOP_Y,
        bottom_y=BOTTOM_Y,
    )
    columns = tuple(_column(day, n, axis) for n, day in enumerate(days))

    def line(values_f: Sequence[float]) -> list[tuple[float, float]]:
        return [(one.x, axis.y(f)) for one, f in zip(columns, values_f, strict=True)]

    usual = [day.usual for day in days]
    foretold = sum(day.foretold is not None for day in days)
    return AlmanacPicture(
        width=len(days) * DAY_WIDTH,
        axis=axis,
        band=band_path(line([u.high_f for u in usual]), line([u.low_f for u in usual])),
        median=line_path(line([u.middle_f for u in usual])),
        test_y=axis.y(test_temperature_f),
        test_label=f"test temperature {words.temperature(test_temperature_f)}",
        columns=columns,
        weeks=tuple(
            Label(one.left, f"{one.day:%b} {one.day.day}")
            for one in columns[:-2]
            if one.day.weekday() == _MONDAY
        ),
        today_x=next((one.x for one in columns if one.day == today), None),
        description=f"Daily maximum from {words.day_name(days[0].day)} to "
        f"{words.day_name(days[-1].day)}; {words.counted(foretold, 'day')} foretold.",
    )


def _values(day: AlmanacDay) -> list[float]:
    ranges = [one for one in (day.usual, day.foretold) if one is not None]
    single = [value for value in (day.foretold_before_f, day.came_f) if value is not None]
    return [*single, *(value for one in ranges for value in (one.low_f, one.high_f))]


def _column(day: AlmanacDay, index: int, axis: TemperatureAxis) -> Column:
    left = index * DAY_WIDTH

    def y(value_f: float | None) -> float | None:
        return None if value_f is None else axis.y(value_f)

    return Column(
        day=day.day,
        x=left + DAY_WIDTH / 2,
        left=left,
        came_y=y(day.came_f),
        before_y=y(day.foretold_before_f),
        middle_y=y(day.foretold.middle_f if day.foretold else None),
        low_y=y(day.foretold.low_f if day.foretold else None),
        high_y=y(day.foretold.high_f if day.foretold else None),
        usual=_range(day.usual),
        foretold=_range(day.foretold) if day.foretold else "",
        before=_one(day.foretold_before_f),
        came=_one(day.came_f),
    )


def _range(one: Range) -> str:
    return f"{one.low_f:.0f}, {one.middle_f:.0f}, {words.temperature(one.high_f)}"


def _one(value_f: float | None) -> str:
    return "" if value_f is None else words.temperature(value_f)
