"""Tasks carry an id and no thought: planning is in scheduling.planning, due work in rows."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from scheduling.actions.offers import follow_up_offers, tell_of_tomorrow
from scheduling.actions.runs import PLAN_SEASON, rescue_runs
from scheduling.actions.watch import watch_seasons
from scheduling.planning import carry_out


@shared_task(name=PLAN_SEASON)
def plan_season(run_id: int) -> None:
    """Plan one season; does nothing when another worker has the run."""
    carry_out(run_id)


@shared_task(name="scheduling.follow_up")
def follow_up() -> None:
    """Second letters, the telephone list, and the day before each visit."""
    follow_up_offers(now=timezone.now())
    tell_of_tomorrow(now=timezone.now())


@shared_task(name="scheduling.watch")
def watch() -> None:
    """Look at each season whose outlook is new; what it asks for is proposed to the office."""
    watch_seasons(now=timezone.now())


@shared_task(name="scheduling.sweep_season_runs")
def sweep_season_runs() -> None:
    """Send again what a lost message or a killed worker left."""
    for run_id in rescue_runs(now=timezone.now()):
        plan_season.delay(run_id)
