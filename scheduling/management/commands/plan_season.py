"""Plan a season from the command line, by the same run that the button starts."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from scheduling.actions.apply import apply_run
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.cutting import MOST_AREAS, areas_for
from scheduling.figures import season_figures
from scheduling.models import RunState, Season, SeasonRun
from scheduling.planning_here import carry_out_here
from scheduling.waiting import until_over
from weather.models import BranchClimate

PATIENCE_S = 120


class Command(BaseCommand):
    help = "Plan a season; with --wait --apply, put the plan into the season and print figures."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--season", help="name of the season (default: the newest)")
        parser.add_argument("--seconds", type=float, default=15, help="how long to search")
        parser.add_argument(
            "--processes",
            type=int,
            default=0,
            help="plan here, without a worker: the branch in so many areas at once (1: as one)",
        )
        parser.add_argument("--wait", action="store_true", help="wait for the worker")
        parser.add_argument("--apply", action="store_true", help="apply the plan when it is ready")

    def handle(self, *args: object, **options: Any) -> None:
        season, processes = self._season(options["season"]), options["processes"]
        if not 0 <= processes <= MOST_AREAS:
            raise CommandError(f"Between 1 and {MOST_AREAS} processes, not {processes}.")
        if options["seconds"] < 1 or options["seconds"] > 3600:
            raise CommandError("A search takes from 1 to 3600 seconds.")
        try:
            run = ask_for_run(
                season=season,
                by=None,
                seconds=options["seconds"],
                now=timezone.now(),
                areas=processes or areas_for(season.visits.open().count()),
                wakes=not processes,
            )
        except RunRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        if processes:
            carry_out_here(run.pk, processes)
        elif not options["wait"]:
            return
        run = self._wait(run)
        if options["apply"]:
            apply_run(run=run, now=timezone.now())
        self.stdout.write(json.dumps(_summary(season, run)))

    def _season(self, name: str | None) -> Season:
        seasons = Season.objects.filter(name=name) if name else Season.objects.all()
        season = seasons.select_related("branch").first()
        if season is None:
            raise CommandError(f"There is no season {name or 'yet'}; open one first.")
        return season

    def _wait(self, run: SeasonRun) -> SeasonRun:
        until_over(run, PATIENCE_S)
        if run.under_way:
            raise CommandError("No worker finished the plan. Is one running?")
        if run.state != RunState.READY:
            raise CommandError(f"The plan was not made: {run.trouble or run.state}")
        return run


def _summary(season: Season, run: SeasonRun) -> dict[str, object]:
    figures = season_figures(season)
    ended = run.ended_at or run.asked_at
    climate = BranchClimate.objects.filter(branch=season.branch).first()
    return {
        "season": season.name,
        "owed": figures.owed_in_all,
        "placed": figures.placed,
        "held": figures.held,
        "without_a_slot": figures.owed,
        "expected_cold_trips": round(figures.cold_trips, 1),
        "travel_min_per_visit": round(
            run.progress.get("travel_min", 0) / max(figures.placed, 1), 1
        ),
        "seconds": round((ended - run.asked_at) / dt.timedelta(seconds=1), 1),
        "score": run.progress.get("score"),
        "climate_source": climate.source if climate else None,
    }
