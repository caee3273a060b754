"""The year of a home on one strip: its cooling season, visits, filter changes and reminders.

Twelve months from left to right. Each row holds one sort of thing, so that a mark needs no
colour to be told from another; marks of one row that would touch are moved apart upward.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kit import words
from kit.pictures.temperature import Label
from kit.when import add_months

# Picture units; one unit is one CSS pixel at the natural size.
MONTH = 58.0
LEFT = 96.0  # room for the rows' names
MONTH_Y, TOP_Y, ROW = 16.0, 26.0, 34.0
MARK = 12.0
FOOT = 18.0  # room for the word under today's line
MONTHS = 12


@dataclass(frozen=True, slots=True)
class YearMark:
    """Something on its day. `shape` is a symbol of kit/_shapes.svg, `label` says all in words."""

    day: dt.date
    shape: str
    label: str


@dataclass(frozen=True, slots=True)
class YearRow:
    """A sort of things, named at the left."""

    name: str
    marks: tuple[YearMark, ...]


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with its corner."""

    x: float
    y: float
    shape: str
    label: str


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row's name on its line, the line under it, and its marks."""

    name: str
    text_y: float
    line_y: float
    marks: tuple[PlacedMark, ...]


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of days from `x`."""

    x: float
    width: float


@dataclass(frozen=True, slots=True)
class HomeYearPicture:
    """Everything the template writes down."""

    width: float
    height: float
    bottom_y: float
    months: tuple[Label, ...]
    rows: tuple[PlacedRow, ...]
    bands: tuple[Band, ...]
    today_x: float
    month_y: float = MONTH_Y
    top_y: float = TOP_Y

    @property
    def band_height(self) -> float:
        """From the first row's top to the last one's line."""
        return self.bottom_y - self.top_y


def first_month(today: dt.date) -> dt.date:
    """The strip's first day: two months back, so that what was done last can be seen."""
    return add_months(today.replace(day=1), -2)


def draw_home_year(
    today: dt.date,
    rows: Sequence[YearRow],
    season: tuple[tuple[int, int], tuple[int, int]] | None,
    month_name: Callable[[dt.date], str] = lambda day: f"{day:%b}",
) -> HomeYearPicture:
    """Lay out the year around `today`; marks outside it are left out.

    `season`: first (month, day) of the cooling season and the first after it; None: it has none.
    """
    first = first_month(today)
    starts = [add_months(first, n) for n in range(MONTHS + 1)]
    return HomeYearPicture(
        width=LEFT + MONTHS * MONTH,
        height=TOP_Y + ROW * len(rows) + FOOT,
        bottom_y=TOP_Y + ROW * len(rows),
        months=tuple(Label(_x(day, first), month_name(day)) for day in starts[:-1]),
        rows=tuple(_placed(row, n, first, starts[-1]) for n, row in enumerate(rows)),
        bands=tuple(_bands(season, first, starts[-1])) if season else (),
        today_x=_x(today, first),
    )


def _x(day: dt.date, first: dt.date) -> float:
    """Where a day begins: months are equally wide, whatever their days."""
    months = (day.year - first.year) * 12 + day.month - first.month
    length = (add_months(day.replace(day=1), 1) - day.replace(day=1)).days
    return round(LEFT + MONTH * (months + (day.day - 1) / length), 1)


def _placed(row: YearRow, number: int, first: dt.date, end: dt.date) -> PlacedRow:
    top = TOP_Y + ROW * number
    base = top + ROW - MARK - 5
    marks: list[PlacedMark] = []
    for mark in sorted(row.marks, key=lambda one: one.day):
        if not first <= mark.day < end:
            continue
        x = min(_x(mark.day, first) - MARK / 2, LEFT + MONTHS * MONTH - MARK)
        # Two levels: what is due on one day stays within its row.
        crowded = bool(marks) and marks[-1].y == base and x - marks[-1].x < MARK
        marks.append(PlacedMark(x, base - MARK if crowded else base, mark.shape, mark.label))
    return PlacedRow(words.shortened(row.name, 16), top + ROW - 8, top + ROW, tuple(marks))


def _bands(
    season: tuple[tuple[int, int], tuple[int, int]], first: dt.date, end: dt.date
) -> list[Band]:
    """The season of each calendar year that the strip touches, cut to the strip."""
    found = []
    for year in range(first.year, end.year + 1):
        begins, ends = (dt.date(year, *edge) for edge in season)
        begins, ends = max(begins, first), min(ends, end)
        if begins < ends:
            left = _x(begins, first)
            found.append(Band(left, round(_x(ends, first) - left, 1)))
    return found
