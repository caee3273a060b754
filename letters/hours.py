"""When a letter may go: not at night where the customer lives, and not at once after a failure.

Nights are stretches of real time in an IANA zone. Where the clock shows an edge of the night
twice, or skips it, the longer night holds.
"""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

# Own choice, no source: a letter makes a phone sound, and nobody wants that from 8 PM to 8 AM.
QUIET_FROM, QUIET_UNTIL = dt.time(20), dt.time(8)
# A day's allowed stretch must outlast a change of the clock, or a night could swallow it.
LEAST_ALLOWED_MIN = 120

# Minutes to wait after the first, second, ... failed attempt. Own choice: a busy mail server is
# well again in minutes, a broken one by the next day; after that a person has to look.
RETRY_AFTER_MIN = (1, 5, 15, 60, 240, 720)


def next_allowed(
    moment: dt.datetime,
    zone: ZoneInfo,
    quiet_from: dt.time = QUIET_FROM,
    quiet_until: dt.time = QUIET_UNTIL,
) -> dt.datetime:
    """The first moment from `moment` on that lies in no quiet night of `zone`, in UTC.

    A night lasts from `quiet_from` to `quiet_until` on the wall clock, over midnight or not.
    Raises ValueError for a moment without a zone and for nights that leave no day.
    """
    if moment.utcoffset() is None:
        raise ValueError(f"moment is {moment}, which has no time zone; an aware one is needed.")
    _check_night(quiet_from, quiet_until)
    moment = moment.astimezone(dt.UTC)
    evening = moment.astimezone(zone).date() - dt.timedelta(days=1)
    for days in range(3):
        begins, ends = _night(evening + dt.timedelta(days=days), zone, quiet_from, quiet_until)
        if begins <= moment < ends:
            return ends
    return moment


def retry_at(attempt: int, now: dt.datetime) -> dt.datetime | None:
    """When to try again after the `attempt`-th attempt failed at `now`; None means give up."""
    if attempt < 1:
        raise ValueError(f"attempt is {attempt}; the first attempt is 1.")
    if attempt > len(RETRY_AFTER_MIN):
        return None
    return now + dt.timedelta(minutes=RETRY_AFTER_MIN[attempt - 1])


def _night(
    evening: dt.date, zone: ZoneInfo, quiet_from: dt.time, quiet_until: dt.time
) -> tuple[dt.datetime, dt.datetime]:
    """Beginning and end in UTC of the night that begins on the day `evening`."""
    over_midnight = quiet_until < quiet_from
    morning = evening + dt.timedelta(days=1) if over_midnight else evening
    return min(_readings(evening, quiet_from, zone)), max(_readings(morning, quiet_until, zone))


def _readings(day: dt.date, time: dt.time, zone: ZoneInfo) -> list[dt.datetime]:
    """Both moments that PEP 495 gives to a wall clock's reading; nearly always the same twice."""
    local = dt.datetime.combine(day, time, zone)
    return [local.replace(fold=fold).astimezone(dt.UTC) for fold in (0, 1)]


def _check_night(quiet_from: dt.time, quiet_until: dt.time) -> None:
    allowed_min = (_minute(quiet_from) - _minute(quiet_until)) % (24 * 60)
    if allowed_min < LEAST_ALLOWED_MIN:
        raise ValueError(
            f"Quiet from {quiet_from:%H:%M} until {quiet_until:%H:%M} leaves {allowed_min} minutes "
            f"a day for letters; at least {LEAST_ALLOWED_MIN} are needed."
        )


def _minute(time: dt.time) -> float:
    return time.hour * 60 + time.minute + time.second / 60
