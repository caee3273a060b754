"""Days, half days and terms as people speak of them. Pure: no Django, no clock.

A week has fourteen halves (Monday morning .. Sunday afternoon). A set of halves
is kept in the database as one small number, read here as `WeekHalves`.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

MORNING, AFTERNOON = 0, 1
NOON_MIN = 12 * 60
WEEKDAY_NAMES = tuple(calendar.day_name)
WEEKDAY_SHORT = tuple(calendar.day_abbr)
ALL_HALVES_MASK = (1 << 14) - 1


@dataclass(frozen=True, slots=True)
class WeekHalves:
    """A set of half days of the week; `mask` has bit 2 * weekday + half."""

    mask: int

    def __post_init__(self) -> None:
        if not 0 <= self.mask <= ALL_HALVES_MASK:
            raise ValueError(f"A week's halves are 0 to {ALL_HALVES_MASK}, not {self.mask}.")

    @classmethod
    def of(cls, pairs: Iterable[tuple[int, int]]) -> WeekHalves:
        """From (weekday, half) pairs; weekday 0 is Monday, half 0 the morning."""
        mask = 0
        for weekday, half in pairs:
            mask |= 1 << (2 * weekday + half)
        return cls(mask)

    @classmethod
    def always(cls) -> WeekHalves:
        """Every half of every day."""
        return cls(ALL_HALVES_MASK)

    def __contains__(self, pair: tuple[int, int]) -> bool:
        weekday, half = pair
        return bool(self.mask >> (2 * weekday + half) & 1)

    def __iter__(self) -> Iterator[tuple[int, int]]:
        return (pair for bit in range(14) if (pair := divmod(bit, 2)) in self)

    def words(self) -> str:
        """For people: "any time", "Mon, Tue mornings; Thu" or "never"."""
        if self.mask & 0b1111111111 == 0b1111111111:
            return "any working day"
        if not self.mask:
            return "never"
        whole = [d for d in range(7) if (d, 0) in self and (d, 1) in self]
        early = [d for d in range(7) if (d, 0) in self and d not in whole]
        late = [d for d in range(7) if (d, 1) in self and d not in whole]
        parts = [(whole, ""), (early, " mornings"), (late, " afternoons")]
        return "; ".join(
            ", ".join(WEEKDAY_SHORT[d] for d in days) + tail for days, tail in parts if days
        )


def days_between(first: dt.date, last: dt.date) -> list[dt.date]:
    """Every day from `first` to `last`, both included; empty when last < first."""
    return [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]


def add_months(day: dt.date, months: int) -> dt.date:
    """The same day `months` later, or the month's last day where it has no such day."""
    years, month0 = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month0 + 1
    return dt.date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def minute_of_day(moment: dt.datetime, zone: ZoneInfo) -> int:
    """Minutes on the wall clock of `zone` since its midnight."""
    local = moment.astimezone(zone)
    return local.hour * 60 + local.minute


def moment_at(day: dt.date, minute: float, zone: ZoneInfo) -> dt.datetime:
    """The aware UTC moment at which the wall clock of `zone` shows `minute` on `day`."""
    hours, minutes = divmod(round(minute), 60)
    local = dt.datetime.combine(day, dt.time(hours, minutes), zone)
    return local.astimezone(dt.UTC)


def utc_offset_h(day: dt.date, zone: ZoneInfo) -> float:
    """How far the wall clock of `zone` is from UTC at noon of `day`, in hours."""
    offset = dt.datetime.combine(day, dt.time(12), zone).utcoffset()
    assert offset is not None  # a ZoneInfo always has one
    return offset.total_seconds() / 3600
