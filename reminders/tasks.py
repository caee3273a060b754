"""Every hour: which branches have a morning behind them that nobody has decided yet."""

from __future__ import annotations

import datetime as dt

from celery import shared_task
from django.utils import timezone

from reminders.actions.decide import decide_reminders
from reminders.models import ReminderDay
from shop.models import Branch

FROM_HOUR = 6  # of the branch's clock; the letters wait for the end of its quiet hours


@shared_task(name="reminders.decide")
def decide() -> None:
    """Ask for the decision of each branch whose day is not decided."""
    for branch in undecided(timezone.now()):
        decide_branch.delay(branch.pk)


@shared_task(name="reminders.decide_branch")
def decide_branch(branch_id: int) -> None:
    """Decide one branch's day; does nothing when that is done already."""
    now = timezone.now()
    for branch in undecided(now):
        if branch.pk == branch_id:
            decide_reminders(branch=branch, today=now.astimezone(branch.zone).date(), now=now)


def undecided(now: dt.datetime) -> list[Branch]:
    """Branches that can write and know their climate, and whose morning has come."""
    found = []
    for branch in Branch.objects.filter(sender__paused=False, climate__isnull=False):
        local = now.astimezone(branch.zone)
        decided = ReminderDay.objects.filter(branch=branch, day=local.date())
        if local.hour >= FROM_HOUR and not decided.exists():
            found.append(branch)
    return found
