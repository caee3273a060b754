"""What a homeowner does once a year at the outdoor unit, and twice at the returns.

Winter covers only where ice or snow falls on the unit, never closed to the ground, off before the
first run; plants back 12 to 15 inches; a garden hose, never a pressure washer; low returns closed
for cooling, high ones for heating: common practice, no source. How many days before or after
the edges of the place's year (`PlaceFacts`) each goes out is our own choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from reminders.facts import HomeFacts, Reminder, ReminderKind, Sent
from reminders.place import MonthDay, PlaceFacts
from reminders.words import Sentence, Words

GRACE_DAYS = 10
COVER_OFF_BEFORE_SEASON = timedelta(days=7)
COVER_OFF_BEFORE_CHECK = timedelta(days=4)
# Where the year has no edge, because it is never cold or never hot.
PLANTS_ANYWAY: MonthDay = (3, 15)
RINSE_ANYWAY: MonthDay = (5, 15)
# A yearly reminder may move by months when a check is booked; twice in one year it may not go.
SAME_YEAR = timedelta(days=200)

STAY_OUT = Words(
    "stay_out", "Open no panel of the unit, and keep hands and tools out of the grille."
)
POWER_OFF = Words(
    "power_off",
    "Switch the thermostat off and the power off at the disconnect beside the unit first. If you "
    "are not comfortable with the disconnect, use the breaker.",
)
COVER_OFF_CAUTIONS = (
    Words("never_run_covered", "Never run the system with the cover on."),
    Words("not_below_55", "Do not run cooling while it is below 55 °F outdoors."),
)
COVER_ON_CAUTIONS = (
    Words("cover_vented", "Cover the top and leave the sides open near the ground: a unit that is "
          "closed to the ground keeps its moisture and rusts."),
    Words("cooling_off_first", "Switch cooling off at the thermostat first."),
)  # fmt: skip
PLANTS_CAUTIONS = (
    Words("clear_by", "Cut back 12 to 15 inches on every side, 24 where there is room."),
    POWER_OFF,
    STAY_OUT,
)
RINSE_CAUTIONS = (
    POWER_OFF,
    Words("garden_hose", "Use a garden hose, gently, from top to bottom. Never a pressure washer: "
          "it bends the fins. No chemicals."),
    STAY_OUT,
)  # fmt: skip
RETURNS_CAUTIONS = (
    Words("one_row_open", "Close one row only after the other is open: the system must have air."),
)

_WHY_COVER_CHECK = Words(
    "why_cover_check",
    "Our cooling check is on {day}, and the cover must be off before the first run.",
)
_WHY_COVER_WARM = Words(
    "why_cover_warm",
    "Days warm enough to run cooling are near, and the cover must be off before.",
)
_WHY_COVER_ON = Words(
    "why_cover_on", "Warm days have become rare here, and ice or snow can fall on your unit."
)
_WHY_PLANTS = Words(
    "why_plants", "Plants near your unit are growing, and it needs room to breathe all summer."
)
_WHY_RINSE = Words(
    "why_rinse", "Spring leaves seeds and pollen on the coil, and the hot months are ahead."
)
_WHY_RETURNS = {
    "cooling": Words(
        "why_returns_cooling",
        "Cooling takes over now: close the low returns and open the high ones.",
    ),
    "heating": Words(
        "why_returns_heating",
        "Heating takes over now: close the high returns and open the low ones.",
    ),
}
WHY = (
    _WHY_COVER_CHECK, _WHY_COVER_WARM, _WHY_COVER_ON, _WHY_PLANTS, _WHY_RINSE,
    *_WHY_RETURNS.values(),
)  # fmt: skip


def due_seasonal(
    home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...]
) -> list[Reminder]:
    """The seasonal reminders of a home that are due within the grace and were not sent."""
    if not home.cools:
        return []
    return [one for one in _open(home, place, today) if not _was_sent(one, sent)]


def _open(home: HomeFacts, place: PlaceFacts, today: date) -> Iterator[Reminder]:
    if home.winter_cover:
        yield from _cover_off(home, place, today)
        if home.ice_falls_on_unit and not home.heat_pump:
            yield from _yearly(
                "cover_on", place.season_ends, today, _WHY_COVER_ON, COVER_ON_CAUTIONS
            )
    if home.plants_near_unit:
        day = place.season_begins or PLANTS_ANYWAY
        yield from _yearly("plants", day, today, _WHY_PLANTS, PLANTS_CAUTIONS)
    yield from _yearly(
        "rinse", place.summer_begins or RINSE_ANYWAY, today, _WHY_RINSE, RINSE_CAUTIONS
    )
    if home.high_low_returns and home.heats:
        yield from _returns("cooling", place.summer_begins, today)
        yield from _returns("heating", place.summer_ends, today)


def _cover_off(home: HomeFacts, place: PlaceFacts, today: date) -> Iterator[Reminder]:
    """Before the season or before the check of this year, whichever is earlier."""
    days = []
    if place.season_begins is not None:
        begins = date(today.year, *place.season_begins)
        warm = Sentence(_WHY_COVER_WARM)
        days.append((begins - COVER_OFF_BEFORE_SEASON, "warm_days_near", warm))
    check = home.next_cooling_check
    if check is not None and check.year == today.year and check >= today:
        why = Sentence(_WHY_COVER_CHECK, (("day", check),))
        days.append((check - COVER_OFF_BEFORE_CHECK, "check_near", why))
    if not days:
        return
    due_on, reason, why = min(days, key=lambda one: one[0])
    if _is_open(due_on, today):
        yield _reminder("cover_off", "", due_on, why, reason, COVER_OFF_CAUTIONS)


def _yearly(
    kind: ReminderKind,
    day: MonthDay | None,
    today: date,
    why: Words,
    cautions: tuple[Words, ...],
    about: str = "",
) -> Iterator[Reminder]:
    """The reminder of that day of the year, while it is due; none where there is no such day."""
    if day is None:
        return
    due_on = date(today.year, *day)
    if due_on > today:
        due_on = date(today.year - 1, *day)
    if _is_open(due_on, today):
        yield _reminder(kind, about, due_on, Sentence(why), kind, cautions)


def _returns(about: str, day: MonthDay | None, today: date) -> Iterator[Reminder]:
    return _yearly("returns", day, today, _WHY_RETURNS[about], RETURNS_CAUTIONS, about)


def _reminder(
    kind: ReminderKind,
    about: str,
    due_on: date,
    why: Sentence,
    reason: str,
    cautions: tuple[Words, ...],
) -> Reminder:
    occasion = ":".join(filter(None, [kind, about, str(due_on.year)]))
    return Reminder(kind, about, occasion, due_on, (why,), (reason,), cautions)


def _is_open(due_on: date, today: date) -> bool:
    return 0 <= (today - due_on).days <= GRACE_DAYS


def _was_sent(reminder: Reminder, sent: Iterable[Sent]) -> bool:
    return any(
        one.kind == reminder.kind
        and one.about == reminder.about
        and one.on > reminder.due_on - SAME_YEAR
        for one in sent
    )
