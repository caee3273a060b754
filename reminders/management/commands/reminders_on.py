"""What would go out on a day, and why, from the command line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from reminders.coming import ComingLetter, letters_on
from reminders.reading import NoClimate
from shop.models import Branch


class Command(BaseCommand):
    help = "List the reminders of a day, today or later, with why each is due. Writes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("day", type=dt.date.fromisoformat, help="for example 2027-04-15")
        parser.add_argument("--branch", required=True, help="the branch's short name")

    def handle(self, *args: object, day: dt.date, branch: str, **options: Any) -> None:
        found = Branch.objects.filter(slug=branch).first()
        if found is None:
            raise CommandError(f"There is no branch {branch!r}.")
        today = timezone.now().astimezone(found.zone).date()
        if day < today:
            raise CommandError(f"{day} is over; the letters of the past stand in the outbox.")
        try:
            count = self._list(letters_on(day, found, today))
        except NoClimate as lack:
            raise CommandError(str(lack)) from lack
        self.stdout.write(f"{count} reminders on {day}")

    def _list(self, letters: Iterable[ComingLetter]) -> int:
        count = 0
        for letter in letters:
            home, reminder = letter.home, letter.reminder
            where = f"{home.customer_name}, {home.street}"
            self.stdout.write(f"{where}\t{reminder.kind}\t{reminder.why}")
            count += 1
        return count
