"""The verb of every morning: decide for all homes of a branch, and write the letters."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from letters.hours import next_allowed
from letters.models import Sender
from reminders.actions.outbox import Draft, write_letters
from reminders.cadence import due_reminders
from reminders.models import ReminderDay
from reminders.reading import homes_to_remind, place_of
from shop.models import Branch


@dataclass(frozen=True, slots=True)
class Counts:
    """Homes looked at, and letters written."""

    homes: int
    letters: int


def decide_reminders(*, branch: Branch, today: dt.date, now: dt.datetime) -> Counts:
    """Write what every home of the branch is to hear today; safe to repeat and to cut off.

    Each chunk is written by itself, so a worker that is killed loses at most the one it had in
    hand: the day is marked as decided last of all. Raises NoClimate.
    """
    place, due_at = place_of(branch), _due_at(branch, now)
    homes = letters = 0
    for chunk in homes_to_remind(branch, today):
        drafts = [
            Draft(home, reminder)
            for home in chunk
            for reminder in due_reminders(home.facts, place, today, home.sent)
        ]
        if drafts:
            write_letters(drafts=drafts, now=now, due_at=due_at)
        homes, letters = homes + len(chunk), letters + len(drafts)
    ReminderDay.objects.get_or_create(
        branch=branch,
        day=today,
        defaults={"decided_at": now, "homes": homes, "letters": letters},
    )
    return Counts(homes, letters)


def _due_at(branch: Branch, now: dt.datetime) -> dt.datetime:
    """When the branch's quiet hours end."""
    sender = Sender.objects.filter(branch=branch).first()
    if sender is None:
        return next_allowed(now, branch.zone)
    return next_allowed(now, branch.zone, sender.quiet_from, sender.quiet_until)
