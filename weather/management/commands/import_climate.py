"""`manage.py import_climate`: a station's daily temperatures become a branch's climate."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.models import Branch
from weather.actions import set_climate
from weather.climate import Climate
from weather.demonstration import demonstration_climate
from weather.fitting import fit_climate
from weather.sources.noaa_daily import Units, read_noaa_daily

NEEDED_WITH_A_FILE = ("station", "latitude", "longitude", "utc_offset", "units")


class Command(BaseCommand):
    help = (
        "Fit a climate to a NOAA daily-summaries CSV (ten years or more, at most a tenth missing) "
        "and give it to a branch with --branch, or write it to a file with --to."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="CSV with DATE, TMAX and TMIN")
        parser.add_argument("--default", action="store_true", help="the demonstration climate")
        parser.add_argument("--branch", metavar="SLUG", help="the branch that plans on it")
        parser.add_argument("--to", metavar="FILE", type=Path, help="write it here, as JSON")
        parser.add_argument("--station", help="for example USW00014839")
        parser.add_argument("--place", help="what people call it; the station if left out")
        parser.add_argument("--source", default="NOAA GHCN-Daily")
        parser.add_argument("--latitude", type=float)
        parser.add_argument("--longitude", type=float, help="west is negative")
        parser.add_argument("--utc-offset", type=float, help="hours, standard time: -6 in Chicago")
        parser.add_argument("--units", type=Units, choices=list(Units), help="of the file")
        parser.add_argument("--years", metavar="FIRST-LAST", help="only these, as 1991-2020")
        parser.add_argument("--demonstration", action="store_true", help="label it so")

    def handle(self, *args: Any, **options: Any) -> None:
        if bool(options["branch"]) == bool(options["to"]):
            raise CommandError("Say where the climate goes: either --branch SLUG or --to FILE.")
        branch = _branch(options["branch"]) if options["branch"] else None
        try:
            climate = demonstration_climate() if options["default"] else _from_file(options)
        except (ValueError, OSError) as refusal:
            raise CommandError(str(refusal)) from refusal
        if branch:
            set_climate(branch=branch, climate=climate, now=timezone.now())
        else:
            options["to"].write_text(_as_json(climate), encoding="utf-8")
        self.stdout.write(
            f"{climate.place}, {climate.period} → {branch or options['to']}"
            + (" (a demonstration climate)" if climate.demonstration else "")
        )


def _branch(slug: str) -> Branch:
    try:
        return Branch.objects.get(slug=slug)
    except Branch.DoesNotExist:
        known = ", ".join(Branch.objects.values_list("slug", flat=True)) or "there is none yet"
        raise CommandError(f"No branch is called {slug!r}. Branches: {known}.") from None


def _from_file(options: dict[str, Any]) -> Climate:
    absent = [name for name in NEEDED_WITH_A_FILE if options[name] is None]
    if options["file"] is None or absent:
        flags = ", ".join("--" + name.replace("_", "-") for name in absent)
        raise CommandError(f"Name a FILE and {flags or 'its options'}, or use --default.")
    text = options["file"].read_text(encoding="utf-8")
    first, last = _years(options["years"])
    records = read_noaa_daily(text, units=options["units"])
    return fit_climate(
        [record for record in records if first <= record.day.year <= last],
        place=options["place"] or options["station"],
        station=options["station"],
        source=options["source"],
        latitude=options["latitude"],
        longitude=options["longitude"],
        utc_offset_h=options["utc_offset"],
        demonstration=options["demonstration"],
    )


def _years(text: str | None) -> tuple[int, int]:
    if text is None:
        return 1, 9999
    try:
        first, last = (int(year) for year in text.split("-"))
    except ValueError:
        raise CommandError(f"--years is {text!r}; write it as 1991-2020.") from None
    return first, last


def _as_json(climate: Climate) -> str:
    return json.dumps(climate.to_dict(), ensure_ascii=False) + "\n"
