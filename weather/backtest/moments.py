"""Times as files write them, brought to local standard time.

A time with an offset is exact. A time without one is on the clock that the caller states:
standard time of an offset, the wall clock of a zone (daylight saving included), or UTC.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from weather.backtest.refusal import ReadingsRefused

US_FORMATS = (
    "%m/%d/%Y %H:%M", "%m/%d/%Y %H:%M:%S", "%m/%d/%Y %I:%M %p", "%m/%d/%Y %I:%M:%S %p",
    "%m/%d/%y %H:%M", "%Y%m%d%H%M", "%Y-%m-%d %H",
)  # fmt: skip
MIDWINTER = datetime(2023, 1, 15, 12, tzinfo=UTC)  # when no northern clock is on saving time


@dataclass(frozen=True)
class Clock:
    """How the file's times are meant, and the place's standard time."""

    utc_offset_h: float | None = None  # of standard time; west negative
    zone: str = ""
    naive_is_utc: bool = False
    words: str = ""

    def fixed_by(self, texts: Iterable[str]) -> Clock:
        """The clock with its standard offset known: stated, of the zone, or of the file's times."""
        if self.utc_offset_h is not None:
            return replace(self, words=f"standard time UTC{self.utc_offset_h:+g} as stated")
        if self.zone:
            offset_h = _hours(MIDWINTER.astimezone(_zone(self.zone)).utcoffset())
            return replace(self, utc_offset_h=offset_h, words=f"clock of {self.zone}")
        offsets = {parsed.utcoffset() for text in texts if (parsed := parse(text)) is not None}
        hours = {_hours(offset) for offset in offsets}
        if None in offsets or not hours or hours == {0.0}:
            raise ReadingsRefused(
                "The times do not say the place's own clock. State it: --utc-offset -6 (standard "
                "time, hours, west negative) or --zone America/Chicago."
            )
        return replace(
            self, utc_offset_h=min(hours), words=f"standard time UTC{min(hours):+g} as in the file"
        )


def standard_time(
    text: str, clock: Clock, row: int, column: str, *, second: bool = False
) -> datetime:
    """Local standard time without a zone. The clock's offset must be fixed.

    `second`: of an hour that a wall clock shows twice, the later one.
    """
    moment = parse(text)
    if moment is None:
        raise ReadingsRefused(
            f"Row {row}, column {column}: {text!r} is not a time; "
            "write it as 2016-04-01T13:00-06:00, 2016-04-01 13:00 or 4/1/2016 13:00."
        )
    assert clock.utc_offset_h is not None
    standard = timezone(timedelta(hours=clock.utc_offset_h))
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=_naive_zone(clock, standard), fold=int(second))
    return moment.astimezone(standard).replace(tzinfo=None)


def looks_like_a_time(text: str) -> bool:
    """Whether a cell holds a time of the hour; empty cells and plain dates do not."""
    return len(text) > 10 and parse(text) is not None


def parse(text: str) -> datetime | None:
    """A moment, aware when the text has an offset; None: it is none."""
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        pass
    for form in US_FORMATS:
        try:
            return datetime.strptime(text, form)  # noqa: DTZ007 - the clock is stated beside it
        except ValueError:
            continue
    return None


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ReadingsRefused(f"{name!r} is no time zone; write it like America/Chicago.") from None


def _naive_zone(clock: Clock, standard: timezone) -> timezone | ZoneInfo:
    if clock.naive_is_utc:
        return UTC
    return ZoneInfo(clock.zone) if clock.zone else standard


def _hours(offset: timedelta | None) -> float:
    return offset.total_seconds() / 3600.0 if offset is not None else 0.0
