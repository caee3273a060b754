"""Tasks carry an id and no thought: planning is in scheduling.planning, due work in rows."""

from __future__ import annotations

from celery import chord, shared_task
from celery.signals import worker_init
from django.utils import timezone

from scheduling import planner
from scheduling.actions.offers import follow_up_offers, tell_of_tomorrow
from scheduling.actions.runs import PLAN_SEASON, rescue_runs
from scheduling.actions.sweeping import follow_agreements
from scheduling.actions.watch import watch_seasons
from scheduling.planning import carry_out


@worker_init.connect
def compile_the_planner(**_: object) -> None:
    """Before the pool is forked, so that no task waits for it and all share the machine code."""
    planner.compile_once()


@shared_task(name=PLAN_SEASON)
def plan_season(run_id: int) -> None:
    """Plan one season; does nothing when another worker has the run.

    A large branch is planned in areas: one task each, and when all are done this one again.
    """
    areas = carry_out(run_id)
    if areas:
        chord(plan_area.s(area) for area in areas)(plan_season.si(run_id))


@shared_task(name="scheduling.plan_area", ignore_result=False)
def plan_area(run_id: int) -> None:
    """Plan one area; when its worker is lost, the sweep hands it to the next."""
    carry_out(run_id)


@shared_task(name="scheduling.follow_up")
def follow_up() -> None:
    """What agreements let go, second letters, the telephone list, the day before each visit."""
    follow_agreements(now=timezone.now())
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
