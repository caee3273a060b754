"""How far ahead times are promised, and when a cold one must be decided on. Pure.

`works_on` says whether the branch works on a weekday (0 is Monday); it works on at least one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

WorksOn = Callable[[int], bool]
ONE_DAY = dt.timedelta(days=1)


def promised_until(today: dt.date, working_days: int, works_on: WorksOn) -> dt.date:
    """The last day on which times are promised: so many working days after `today`."""
    day = today
    while working_days > 0:
        day += ONE_DAY
        working_days -= works_on(day.weekday())
    return day


def decided_on(day: dt.date, notice_days: int, works_on: WorksOn) -> dt.date:
    """The last working day on which a visit of `day` can be moved with the notice promised.

    Deciding earlier breaks promises that a later forecast would have kept.
    """
    last = day - notice_days * ONE_DAY
    while not works_on(last.weekday()):
        last -= ONE_DAY
    return last


def must_be_decided(day: dt.date, today: dt.date, notice_days: int, works_on: WorksOn) -> bool:
    """Whether a cold visit of `day` can wait no longer."""
    return decided_on(day, notice_days, works_on) <= today
