"""When an air filter is due. The rule of the trade, and what shortens it.

One-inch filters every 4 to 6 weeks, nearer 4 with pets, smokers, dust and heavy running; two-inch
ones about every 90 days; four- and five-inch media as their maker says, 180 to 365 days: common
practice, no source. How far toward the shorter end, is our own choice:

    shortening = 1/2 for each of pets, smokers and dust
               + (run share - 15 %) / (50 % - 15 %), kept within 0 and 1
    interval   = longest - (longest - shortest) * min(1, shortening)

where the run share is that of the place and season (`PlaceFacts.run_share`) over the longest
interval, and 1 with a fan that never stops.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from reminders.facts import FilterFacts, HomeFacts, Reminder, Sent
from reminders.place import PlaceFacts
from reminders.words import Sentence, Value, Words

# From this thickness on, in inches: longest and shortest interval in days.
INTERVALS_DAYS = ((4.0, 180, 180), (2.0, 90, 60), (0.0, 42, 28))
LEAST_DAYS = 28  # never more often, whatever a maker says: common practice, no source
SHORTENED_BY_EACH = 0.5
LITTLE_RUNNING, MUCH_RUNNING = 0.15, 0.50
WORTH_NAMING = 0.25  # of the whole shortening: less is a day or two, and no reason to a reader
GRACE_DAYS = 10

CAUTIONS = (
    Words("filter_off_first", "Switch the system off at the thermostat before you open the slot."),
    Words("filter_arrow", "The arrow on the frame points toward the blower, away from the return."),
    Words("filter_same_size", "Use the same size: a filter that is too small lets dust around it."),
)
_IN_THE_HOME = (
    Words("pets", "pets in the home"),
    Words("smokers", "smoking in the home"),
    Words("dusty", "a dusty home"),
)
_FAN = Words("constant_fan", "a fan that runs all the time")
_RUNNING = Words("much_running", "a system that runs much at this time of year")

_NOT_KNOWN = Words(
    "filter_not_known",
    "We do not know when your {size} inch filter was last changed. Please look at it, "
    "and change it if it is grey.",
)
_REMINDED = Words("filter_reminded", "We last reminded you of your {size} inch filter on {day}.")
_CHANGED = Words("filter_changed", "Your {size} inch filter has been in since {day}.")
_PAST = Words("filter_past", "It is past its time.")
_MAKER = Words("filter_maker", "Its maker says every {days} days.")
_EVERY = Words("filter_every", "In your home it is due every {days} days.")
_BECAUSE = Words(
    "filter_because", "In your home it is due every {days} days, because of {reasons}."
)
WHY = (
    *_IN_THE_HOME, _FAN, _RUNNING, _NOT_KNOWN, _REMINDED, _CHANGED, _PAST, _MAKER, _EVERY, _BECAUSE,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Since:
    """The day from which a filter's time runs, and whether it is only that of our reminder."""

    day: date
    reminded: bool


def interval_days(filter_: FilterFacts, home: HomeFacts, place: PlaceFacts, since: date) -> int:
    """Days from a change on `since` to the next; the maker's word goes before ours."""
    if filter_.maker_days is not None:
        return max(LEAST_DAYS, filter_.maker_days)
    longest, shortest = _limits(filter_.thickness_in)
    in_the_home = bool(home.pets) + bool(home.smokers) + bool(home.dusty)
    shortening = SHORTENED_BY_EACH * in_the_home
    shortening += _by_running(home, place, since, longest)
    return longest - round((longest - shortest) * min(1.0, shortening))


def due_filters(
    home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...]
) -> list[Reminder]:
    """The filters of a home that are due and not yet reminded of."""
    if not (home.cools or home.heats):
        return []
    reminders = (_due(one, home, place, today, sent) for one in home.filters)
    return [reminder for reminder in reminders if reminder is not None]


def sent_before(
    day: date, home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...]
) -> tuple[Sent, ...]:
    """The filter reminders that go out from `today` on and before `day`, the last of each filter.

    As if each went out the day it is due, and the homeowner told us of no change. It goes from
    reminder to reminder, not from day to day, so that a whole branch can be asked at once.
    """
    if not (home.cools or home.heats):
        return ()
    last = []
    for filter_ in home.filters:
        since, on = _since(filter_, today, sent), today
        while (on := _next(filter_, home, place, since, on)) < day:
            since = _Since(on, reminded=True)
        if since is not None and since.reminded:
            last.append(Sent("filter", str(filter_.id), since.day))
    return tuple(last)


def _next(
    filter_: FilterFacts, home: HomeFacts, place: PlaceFacts, since: _Since | None, first: date
) -> date:
    """The first day from `first` on that brings a reminder of the filter."""
    if since is not None:
        days = interval_days(filter_, home, place, since.day)
        due_on = since.day + timedelta(days=days)
        if (first - due_on).days <= GRACE_DAYS:
            return max(first, due_on)
        first = max(first, since.day + timedelta(days=LEAST_DAYS))
    return first + timedelta(days=-(first.toordinal() + filter_.id) % LEAST_DAYS)


def _due(
    filter_: FilterFacts, home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...]
) -> Reminder | None:
    """Due within the grace, or, when its day is unknown or long past, on the filter's own day."""
    since = _since(filter_, today, sent)
    if since is not None:
        if (today - since.day).days < LEAST_DAYS:
            return None
        days = interval_days(filter_, home, place, since.day)
        due_on = since.day + timedelta(days=days)
        if due_on > today:
            return None
        if (today - due_on).days <= GRACE_DAYS:
            return _reminder(filter_, home, place, since, due_on, days)
    if not _is_own_day(filter_.id, today):
        return None
    return _reminder(filter_, home, place, since, today, None)


def _since(filter_: FilterFacts, today: date, sent: Iterable[Sent]) -> _Since | None:
    """From when the filter's time runs: its change, or our last reminder if that is later.

    A homeowner who says nothing is taken to have changed it when reminded. A change in the
    future is a slip of the pen and not counted.
    """
    about = str(filter_.id)
    reminded = [one.on for one in sent if one.kind == "filter" and one.about == about]
    latest = max(reminded, default=None)
    changed = filter_.last_changed_on
    if changed is not None and changed <= today and (latest is None or changed >= latest):
        return _Since(changed, reminded=False)
    return _Since(latest, reminded=True) if latest is not None else None


def _is_own_day(filter_id: int, today: date) -> bool:
    """One day in four weeks, spread evenly over all filters.

    So that ten thousand homes just imported do not hear from us on the same morning. There is
    no grace: a day that was missed comes again.
    """
    return (today.toordinal() + filter_id) % LEAST_DAYS == 0


def _reminder(
    filter_: FilterFacts,
    home: HomeFacts,
    place: PlaceFacts,
    since: _Since | None,
    due_on: date,
    days: int | None,
) -> Reminder:
    """`days` is the interval that has run out; None when it ran out long ago, or is not known.

    Then the occasion is the filter's own day, so that it comes again however long nobody answers.
    """
    reasons = _reasons(filter_, home, place, since.day) if since and days else ()
    return Reminder(
        kind="filter",
        about=str(filter_.id),
        occasion=f"filter:{filter_.id}:{since.day if since and days else f'own-{due_on}'}",
        due_on=due_on,
        said=_said(filter_, since, days, reasons),
        reasons=tuple(words.id for words in reasons),
        cautions=CAUTIONS,
    )


def _said(
    filter_: FilterFacts, since: _Since | None, days: int | None, reasons: tuple[Words, ...]
) -> tuple[Sentence, ...]:
    size: tuple[str, Value] = ("size", filter_.inches)
    if since is None:
        return (Sentence(_NOT_KNOWN, (size,)),)
    begins = Sentence(_REMINDED if since.reminded else _CHANGED, (size, ("day", since.day)))
    if days is None:
        return begins, Sentence(_PAST)
    every: tuple[str, Value] = ("days", days)
    if filter_.maker_days is not None:
        return begins, Sentence(_MAKER, (every,))
    if reasons:
        return begins, Sentence(_BECAUSE, (every, ("reasons", reasons)))
    return begins, Sentence(_EVERY, (every,))


def _reasons(
    filter_: FilterFacts, home: HomeFacts, place: PlaceFacts, since: date
) -> tuple[Words, ...]:
    """Each thing that made the interval shorter."""
    longest, shortest = _limits(filter_.thickness_in)
    if filter_.maker_days is not None or longest == shortest:
        return ()
    found = [reason for reason in _IN_THE_HOME if getattr(home, reason.id)]
    if home.constant_fan:
        found.append(_FAN)
    elif _by_running(home, place, since, longest) >= WORTH_NAMING:
        found.append(_RUNNING)
    return tuple(found)


def _by_running(home: HomeFacts, place: PlaceFacts, since: date, days: int) -> float:
    """0 for a system that hardly runs, to 1 for one that runs half of the time or more."""
    if home.constant_fan:
        return 1.0
    share = place.run_share(since, days, cools=home.cools, heats=home.heats)
    return min(1.0, max(0.0, (share - LITTLE_RUNNING) / (MUCH_RUNNING - LITTLE_RUNNING)))


def _limits(thickness_in: float) -> tuple[int, int]:
    return next((long, short) for least, long, short in INTERVALS_DAYS if thickness_in >= least)
