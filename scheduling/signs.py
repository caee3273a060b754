"""What the weather warns of, in words for the screens: the first heat, and when nobody climbs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from zoneinfo import ZoneInfo

from kit import words
from kit.when import days_between, moment_at, utc_offset_h
from scheduling.outlooks import source_words
from scheduling.pace import Pace
from weather.outlook import Outlook
from weather.signs import HOT_F, first_heat, first_hot_day, storms

HALF_THE_YEARS = 0.5
AHEAD = dt.timedelta(days=8)  # as far as a forecast reaches


def heat_line(outlook: Outlook, pace: Pace, today: dt.date, zone: ZoneInfo) -> str:
    """When the first heat is likely and what is owed by then; "" when nothing can be said."""
    days = days_between(today, today + AHEAD)
    offsets = [utc_offset_h(day, zone) for day in days]
    heat = first_heat(outlook, days, clock_offset_h=offsets)
    hot = words.temperature(HOT_F)
    if heat is not None:
        when = f"An {hot} day is likely on {words.day_name(heat.day)} ({words.percent(heat.chance)}"
        return f"{when}, by the {source_words(outlook, zone)}). {_owed_by(pace)}"
    usual = first_hot_day(outlook.climate, today.year, HALF_THE_YEARS)
    if usual is None or usual <= today:
        return _owed_by(pace)
    when = f"The first {hot} day has come by {words.short_day(usual)} in half of the years"
    return f"{when} (climate). {_owed_by(pace)}"


def _owed_by(pace: Pace) -> str:
    owed = words.counted(pace.owed, "cooling check")
    if pace.done_by is None or not pace.owed:
        return f"{owed} still owed." if pace.owed else ""
    last = words.short_day(pace.done_by)
    return f"{owed} still owed; at {pace.a_day:.1f} a working day the last is done by {last}."


def no_climbing_on(outlook: Outlook, day: dt.date, zone: ZoneInfo) -> Iterator[str]:
    """The stretches of a day in which ladders and roofs are off limits, with what forbids them."""
    if outlook.forecast is None or not outlook.uses_forecast:
        return
    midnight = moment_at(day, 0, zone)
    next_midnight = moment_at(day + dt.timedelta(days=1), 0, zone)
    for storm in storms(outlook.forecast):
        begins, ends = max(storm.begins, midnight), min(storm.ends, next_midnight)
        if begins < ends:
            dangers = " and ".join(sorted(storm.dangers))
            span = f"{words.clock(begins.astimezone(zone))} to {words.clock(ends.astimezone(zone))}"
            yield f"{span}: {dangers}"
