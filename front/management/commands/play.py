"""Play a spring on the demo shop, day by day."""

from __future__ import annotations

import datetime as dt
import logging
from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from front.play import Play, PlayedWeather
from kit.web import demo_clock
from letters.tasks import send_due
from scheduling.models import Season

SPRING = Path(settings.ROOT) / "fixtures" / "weather" / "springfield-2017.csv"


class Command(BaseCommand):
    help = (
        "Play days of the demo's season with the real hours of Springfield, Illinois, in 2017: "
        "forecasts that miss as real ones do, customers who answer, repairs, holds and fills. "
        "For a make-believe shop only: it sets the demo's clock and decides for the office."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--from", dest="first", type=dt.date.fromisoformat, required=True)
        parser.add_argument("--days", type=int, default=30)
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--season", help="its name; else the newest")
        parser.add_argument("--hours", type=Path, default=SPRING, help="CSV of time,temperature_f")
        parser.add_argument(
            "--plan-seconds", type=float, default=3.0, help="of each Monday's new plan"
        )
        parser.add_argument(
            "--records", action="store_true", help="technicians type readings, parts and advice too"
        )
        parser.add_argument(
            "--leave-last", action="store_true", help="leave the last day's repairs to the office"
        )

    def handle(self, *args: object, **options: object) -> None:
        if not settings.DEMO_CLOCK:
            raise CommandError(
                "Set DEMO_CLOCK to a file (bin/demo does): a play changes the time, and a real "
                "shop's clock must never be played with."
            )
        # A play does a worker's part itself, so nobody need hear that none was woken.
        logging.getLogger("kit.web.wake").setLevel(logging.ERROR)
        season = self._season(str(options["season"] or ""))
        first, days = options["first"], int(str(options["days"]))
        assert isinstance(first, dt.date)
        if not 1 <= days <= 120:
            raise CommandError(f"--days is {days}; it must be 1 to 120.")
        seed = int(str(options["seed"]))
        weather = PlayedWeather.read(Path(str(options["hours"])), first.year, first, days, seed)
        file = Path(settings.DEMO_CLOCK)
        play = Play(
            season,
            weather,
            lambda moment: demo_clock.set_clock(file, moment),
            seed,
            float(str(options["plan_seconds"])),
            records=bool(options["records"]),
        )
        for number in range(days):
            last = number == days - 1
            played = play.day(
                first + dt.timedelta(days=number), decide=not (last and options["leave_last"])
            )
            self.stdout.write(str(played))
            send_due()

    def _season(self, name: str) -> Season:
        seasons = Season.objects.filter(name=name) if name else Season.objects.all()
        season = seasons.select_related("branch").first()
        if season is None:
            raise CommandError("There is no season to play; run bin/demo first.")
        return season
