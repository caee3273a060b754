"""`manage.py import_hours`: hours that a thermometer near the branch really had."""

from __future__ import annotations

import gzip
import math
from argparse import ArgumentParser
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.models import Branch
from weather.actions import observe_hours
from weather.backtest.moments import Clock
from weather.backtest.reading import Readings, read_readings
from weather.forecast import COLDEST_F, HOTTEST_F

GZIP = b"\x1f\x8b"


class Command(BaseCommand):
    help = (
        "Keep hourly temperatures of any CSV (a time and °F) as observed at a branch; forecasts "
        "are compared with them. Gaps of up to three hours are filled by straight lines."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="CSV or CSV.gz of time and °F")
        parser.add_argument("--branch", metavar="SLUG", required=True)
        parser.add_argument("--source", help="what people call it; the file's name if left out")
        parser.add_argument("--utc-times", action="store_true", help="times without offset are UTC")
        parser.add_argument("--celsius", action="store_true", help="temperatures are °C")
        parser.add_argument("--only", default="", metavar="COLUMN=VALUE", help="one place of many")
        parser.add_argument("--time-column", default="")
        parser.add_argument("--temperature-column", default="")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = _branch(options["branch"])
        try:
            readings = _readings(branch, options)
        except (ValueError, OSError) as refusal:
            raise CommandError(str(refusal)) from refusal
        hours = _hours(readings)
        source = (options["source"] or options["file"].name)[:60]
        kept = observe_hours(branch=branch, hours=hours, source=source)
        for line in (*readings.notes, *(gap.words for gap in readings.gaps)):
            self.stdout.write(line)
        self.stdout.write(f"{kept} hours → {branch}")


def _branch(slug: str) -> Branch:
    try:
        return Branch.objects.get(slug=slug)
    except Branch.DoesNotExist:
        known = ", ".join(Branch.objects.values_list("slug", flat=True)) or "there is none yet"
        raise CommandError(f"No branch is called {slug!r}. Branches: {known}.") from None


def _readings(branch: Branch, options: dict[str, Any]) -> Readings:
    raw = options["file"].read_bytes()
    text = (gzip.decompress(raw) if raw.startswith(GZIP) else raw).decode("utf-8")
    return read_readings(
        text,
        clock=Clock(zone=branch.time_zone, naive_is_utc=options["utc_times"]),
        celsius=options["celsius"],
        time_column=options["time_column"],
        temperature_column=options["temperature_column"],
        only=options["only"],
    )


def _hours(readings: Readings) -> dict[datetime, float]:
    """°F by moment; the readings stand in the branch's standard time."""
    standard = timezone(timedelta(hours=readings.utc_offset_h))
    first = readings.first.replace(tzinfo=standard)
    return {
        first + timedelta(hours=n): value_f
        for n, value_f in enumerate(readings.values_f.tolist())
        if not math.isnan(value_f) and COLDEST_F <= value_f <= HOTTEST_F
    }
