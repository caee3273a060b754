"""Compare the kept balances with the sums of all money, and write them anew."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from agreements.keeping import differing, recount
from agreements.money.amounts import dollars


class Command(BaseCommand):
    help = "Compare each agreement's kept balance with the sum of its money; should never differ."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--write", action="store_true", help="write the balances anew")

    def handle(self, *args: object, **options: Any) -> None:
        odd = differing()
        for key, kept, summed in odd:
            said = f"{dollars(_usd(kept))} kept, {dollars(_usd(summed))} summed"
            self.stdout.write(f"Agreement {key}: {said}")
        if options["write"]:
            recount()
            self.stdout.write(f"{len(odd)} balances put right")
        elif odd:
            raise CommandError(f"{len(odd)} balances differ; --write puts them right.")
        else:
            self.stdout.write("Every kept balance is the sum of its money.")


def _usd(whole_cents: int) -> Decimal:
    return Decimal(whole_cents) / 100
