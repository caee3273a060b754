"""Tasks carry an id and no thought."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from books import answering
from books.actions.capacity import ANSWER_CAPACITY
from books.actions.digest import digest_records
from books.models import CapacityRun
from kit.web.asked import rescue
from scheduling.models import Season


@shared_task(name="books.digest")
def digest() -> None:
    """Read finished records of every season that are not read yet."""
    now = timezone.now()
    for season in Season.objects.all():
        digest_records(season=season, now=now)


@shared_task(name=ANSWER_CAPACITY)
def answer_capacity(run_id: int) -> None:
    """Answer one capacity run; does nothing when another worker has it."""
    answering.answer_capacity(run_id)


@shared_task(name="books.sweep_capacity_runs")
def sweep_capacity_runs() -> None:
    """Send again what a lost message or a killed worker left."""
    for run_id in rescue(CapacityRun, now=timezone.now()):
        answer_capacity.delay(run_id)
