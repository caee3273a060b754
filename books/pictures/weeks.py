"""The weeks of a season as bars: checks done above the line, trips lost to cold below it. Pure."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from kit import words

# Picture units; one unit is one CSS pixel at the natural size.
WEEK_WIDTH, GAP = 44.0, 10.0
TOP_Y, LINE_Y, BOTTOM_Y, LABEL_Y, HEIGHT = 22.0, 150.0, 196.0, 226.0, 234.0
LEFT = 8.0
A_WEEK = dt.timedelta(days=7)


@dataclass(frozen=True, slots=True)
class WeekBar:
    """One week: heights are of the bars; `last_y` is where last season stood, None without one."""

    first: dt.date
    x: float
    done: int
    cold: int
    done_y: float
    done_height: float
    cold_height: float
    cold_y: float
    last_y: float | None
    name: str


@dataclass(frozen=True, slots=True)
class WeeksPicture:
    bars: tuple[WeekBar, ...]
    width: float
    description: str
    has_last: bool
    line_y: float = LINE_Y
    label_y: float = LABEL_Y
    height: float = HEIGHT
    bar_width: float = WEEK_WIDTH - GAP


def draw_weeks(
    first: dt.date,
    last: dt.date,
    done: Mapping[dt.date, int],
    cold: Mapping[dt.date, int],
    done_before: Mapping[int, int] | None = None,
) -> WeeksPicture:
    """Days of both counts; `done_before`: last season's, by the number of its week from 0.

    What falls outside the season's days counts in its first or last week.
    """
    weeks = max(((last - first).days // 7) + 1, 1)
    done_in = _by_week(done, first, weeks)
    cold_in = _by_week(cold, first, weeks)
    before = [None if done_before is None else done_before.get(n, 0) for n in range(weeks)]
    most = max(*done_in, *(n or 0 for n in before), 1)
    most_cold = max(*cold_in, 1)
    scale = (LINE_Y - TOP_Y) / most
    below = min(scale, (BOTTOM_Y - LINE_Y) / most_cold)
    bars = tuple(
        _bar(first + n * A_WEEK, n, done_in[n], cold_in[n], before[n], scale, below)
        for n in range(weeks)
    )
    return WeeksPicture(
        bars=bars,
        width=LEFT + weeks * WEEK_WIDTH,
        description=f"{words.counted(sum(done_in), 'check')} done and "
        f"{words.counted(sum(cold_in), 'trip')} lost to cold in "
        f"{words.counted(weeks, 'week')} from {words.day_name(first)} on.",
        has_last=done_before is not None,
    )


def _by_week(counts: Mapping[dt.date, int], first: dt.date, weeks: int) -> list[int]:
    found = [0] * weeks
    for day, count in counts.items():
        found[min(max((day - first).days // 7, 0), weeks - 1)] += count
    return found


def _bar(
    monday: dt.date, n: int, done: int, cold: int, before: int | None, scale: float, below: float
) -> WeekBar:
    said = f"Week of {words.short_day(monday)}: {done} done, {cold} lost to cold"
    return WeekBar(
        first=monday,
        x=LEFT + n * WEEK_WIDTH,
        done=done,
        cold=cold,
        done_y=round(LINE_Y - done * scale, 1),
        done_height=round(done * scale, 1),
        cold_height=round(cold * below, 1),
        cold_y=round(LINE_Y + cold * below + 12.0, 1),
        last_y=None if before is None else round(LINE_Y - before * scale, 1),
        name=said if before is None else f"{said}; last season {before} done",
    )
