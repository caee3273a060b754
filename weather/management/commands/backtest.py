"""`manage.py backtest`: which way of promising would have done best in springs that really were."""

from __future__ import annotations

import gzip
import json
from argparse import ArgumentParser
from dataclasses import fields
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.models import Branch
from weather.backtest.frontier import WITH_LIST, frontier, recommended
from weather.backtest.moments import Clock
from weather.backtest.policy import Policy
from weather.backtest.reading import Readings, read_readings
from weather.backtest.report import Report, as_json, as_text
from weather.backtest.running import FIRST, SEEDS, Setup, stage_of
from weather.backtest.slot_climate import SlotClimate, from_climate, learnt_from_the_file
from weather.backtest.springs import Skipped, Spring, cut_springs
from weather.backtest.strategies import STRATEGIES
from weather.climate import Climate
from weather.fitting import fit_climate
from weather.sources.noaa_daily import Units, read_noaa_daily

GZIP = b"\x1f\x8b"
POLICY_FLAGS = {one.name: one for one in fields(Policy) if one.name != "test_temperature_f"}


class Command(BaseCommand):
    help = (
        "Play five policies of promising cooling checks through the springs of hourly temperature "
        "files, with made-up forecasts whose errors are as large as real ones. Definitions: "
        "weather/backtest/__init__.py."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--hours", nargs="+", type=Path, metavar="FILE", help="CSV or CSV.gz of time and °F"
        )
        parser.add_argument("--techs", type=int, default=2, help="technicians")
        parser.add_argument("--checks", type=int, default=200, help="how many checks are owed")
        parser.add_argument("--slots", type=int, default=4, choices=[4], help="a technician a day")
        parser.add_argument("--test-temperature", type=float, default=55.0, help="°F")
        parser.add_argument("--first", default="{:02d}-{:02d}".format(*FIRST), metavar="MM-DD")
        parser.add_argument("--seeds", type=int, default=SEEDS, help="runs with different noise")
        parser.add_argument("--error-scale", type=float, default=1.0, help="of forecasts; 1: real")
        parser.add_argument(
            "--return-trips", action="store_true", help="drive again where it was too cold"
        )
        _add_reading(parser)
        _add_climate(parser)
        for name, one in POLICY_FLAGS.items():
            parser.add_argument(
                "--" + name.replace("_", "-"),
                type=type(one.default),
                default=one.default,
                help=f"{one.metadata['words']} ({one.default:g})",
            )
        parser.add_argument("--no-frontier", action="store_true", help="only the five policies")
        parser.add_argument("--json", action="store_true", help="one JSON object")

    def handle(self, *args: Any, **options: Any) -> None:
        if not options["hours"]:
            raise CommandError("Name at least one file: --hours FILE.")
        try:
            report = _report(options)
        except (ValueError, OSError) as refusal:
            raise CommandError(str(refusal)) from refusal
        if options["json"]:
            self.stdout.write(json.dumps(as_json(report), ensure_ascii=False))
        else:
            self.stdout.write(as_text(report))


def _add_reading(parser: ArgumentParser) -> None:
    group = parser.add_argument_group("how the files are read")
    group.add_argument("--utc-offset", type=float, help="standard time in hours: -6 in Chicago")
    group.add_argument("--zone", default="", help="the clock of the times, as America/Chicago")
    group.add_argument("--utc-times", action="store_true", help="times without offset are UTC")
    group.add_argument("--celsius", action="store_true", help="temperatures are °C")
    group.add_argument("--only", default="", metavar="COLUMN=VALUE", help="one place of several")
    group.add_argument("--time-column", default="")
    group.add_argument("--temperature-column", default="")


def _add_climate(parser: ArgumentParser) -> None:
    group = parser.add_argument_group("the climate, by default learnt from the file's other years")
    group.add_argument("--climate", type=Path, help="JSON as import_climate --to writes it")
    group.add_argument("--climate-csv", type=Path, help="NOAA daily summaries, °F")
    group.add_argument("--latitude", type=float, help="with --climate-csv")
    group.add_argument("--longitude", type=float, help="with --climate-csv; west is negative")
    group.add_argument("--branch", metavar="SLUG", help="the climate that a branch plans on")


def _report(options: dict[str, Any]) -> Report:
    policy = Policy(
        test_temperature_f=options["test_temperature"],
        **{name: options[name] for name in POLICY_FLAGS},
    )
    setup = Setup(
        checks=options["checks"],
        technicians=options["techs"],
        first=_month_day(options["first"]),
        seeds=options["seeds"],
        error_scale=options["error_scale"],
        return_trips=options["return_trips"],
    )
    springs, skipped, notes = _springs(options)
    if not springs:
        why = "; ".join(f"{name} {one.year}: {one.why}" for name, one in skipped)
        raise CommandError(f"No file holds a spring that can be used. {why}")
    stage = stage_of(springs, policy, setup)
    return Report(
        springs=springs,
        skipped=skipped,
        notes=notes,
        policy=policy,
        setup=setup,
        policies={name: stage.play(play, policy) for name, play in STRATEGIES.items()},
        recommended=stage.play(STRATEGIES[WITH_LIST], recommended(policy)),
        frontier=[] if options["no_frontier"] else frontier(stage, policy),
    )


def _springs(
    options: dict[str, Any],
) -> tuple[list[Spring], list[tuple[str, Skipped]], list[str]]:
    springs: list[Spring] = []
    skipped: list[tuple[str, Skipped]] = []
    notes: list[str] = []
    for path, place in zip(options["hours"], _places(options), strict=True):
        readings = _readings(path, options)
        climate_of = _climate(options, readings)
        found, left = cut_springs(readings, climate_of, place)
        springs += found
        skipped += [(place, one) for one in left]
        notes += [f"{place}: {note}" for note in readings.notes]
        notes += [f"{place}: {gap.words}" for gap in readings.gaps]
    return springs, skipped, notes


def _places(options: dict[str, Any]) -> list[str]:
    """A name for each file: the place chosen from it, else its own, with its folder if need be."""
    names = [path.name.split(".")[0] for path in options["hours"]]
    chosen = options["only"].partition("=")[2].strip()
    if chosen and len(names) == 1:
        return [chosen]
    unique = len(set(names)) == len(names)
    return names if unique else [str(path) for path in options["hours"]]


def _readings(path: Path, options: dict[str, Any]) -> Readings:
    raw = path.read_bytes()
    if raw.startswith(GZIP):
        raw = gzip.decompress(raw)
    try:
        return read_readings(
            raw.decode("utf-8", errors="replace"),
            clock=Clock(options["utc_offset"], options["zone"], options["utc_times"]),
            celsius=options["celsius"],
            time_column=options["time_column"],
            temperature_column=options["temperature_column"],
            only=options["only"],
        )
    except ValueError as refusal:
        raise CommandError(f"{path.name}: {refusal}") from refusal


def _climate(options: dict[str, Any], readings: Readings) -> SlotClimate:
    climate = _named_climate(options, readings)
    if climate is None:
        return learnt_from_the_file
    return from_climate(climate, options["test_temperature"])


def _named_climate(options: dict[str, Any], readings: Readings) -> Climate | None:
    if options["climate"]:
        return Climate.from_dict(json.loads(options["climate"].read_text(encoding="utf-8")))
    if options["branch"]:
        branch = Branch.objects.filter(slug=options["branch"], climate__isnull=False).first()
        if branch is None:
            raise CommandError(f"No branch {options['branch']!r} has a climate.")
        return branch.climate.climate()
    if options["climate_csv"] is None:
        return None
    if options["latitude"] is None or options["longitude"] is None:
        raise CommandError("--climate-csv needs --latitude and --longitude.")
    path = options["climate_csv"]
    return fit_climate(
        read_noaa_daily(path.read_text(encoding="utf-8"), units=Units.FAHRENHEIT),
        place=path.stem,
        station=path.stem,
        source=path.name,
        latitude=options["latitude"],
        longitude=options["longitude"],
        utc_offset_h=readings.utc_offset_h,
    )


def _month_day(text: str) -> tuple[int, int]:
    try:
        month, day = (int(part) for part in text.split("-"))
    except ValueError:
        raise CommandError(f"--first is {text!r}; write it as 03-02.") from None
    return month, day
