"""Every hour: letters about agreements, and the terms that begin by themselves."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from agreements.actions.outbox import begin_agreed_terms, write_due_letters
from agreements.actions.plans import bring_into_force
from agreements.models import Plan
from shop.models import Branch

FROM_HOUR = 6  # of the branch's clock; the letters wait for the end of its quiet hours


@shared_task(name="agreements.look_after")
def look_after() -> None:
    """Ask for the day of each branch. Every step of it may be repeated."""
    now = timezone.now()
    for branch in Branch.objects.all():
        if now.astimezone(branch.zone).hour >= FROM_HOUR:
            look_after_branch.delay(branch.pk)


@shared_task(name="agreements.look_after_branch")
def look_after_branch(branch_id: int) -> None:
    """Terms that begin, plans whose new terms come into force, and letters where there is one."""
    branch, now = Branch.objects.get(pk=branch_id), timezone.now()
    today = now.astimezone(branch.zone).date()
    for plan in Plan.objects.filter(branch=branch):
        bring_into_force(plan=plan, today=today)
    begin_agreed_terms(branch=branch, today=today)
    if Branch.objects.filter(pk=branch_id, sender__paused=False).exists():
        write_due_letters(branch=branch, today=today, now=now)
