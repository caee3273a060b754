"""A make-believe contractor near Milwaukee: every name, address and number is invented."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser
from django.db import transaction
from django.utils import timezone

from agreements.models import Plan
from books.actions.costs import set_costs
from books.earned_reading import part_key
from books.models import CostRates
from customers.models import Home
from front.demo import PART_PRICES, PASSWORD, STAFF, TECHNICIANS, import_spreadsheet
from letters.links import address_of, link_for
from letters.models import Sender
from reminders.actions.outbox import HOME
from reminders.reading import about_home
from scheduling.actions.seasons import gather_visits, open_season
from scheduling.models import DayOff, Season, Shift, Technician
from shop.models import Branch, User

SPREADSHEET = Path(settings.ROOT) / "fixtures" / "spreadsheet" / "homes.csv"


class Command(BaseCommand):
    help = "Make the demo shop: branch, staff, technicians, climate, homes, agreements, a season."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--show-log-ins", action="store_true", help="only print the log-ins")
        parser.add_argument("--without-homes", action="store_true", help="a shop that just began")

    def handle(self, *args: object, **options: object) -> None:
        if options["show_log_ins"]:
            for person in STAFF:
                self.stdout.write(f"  {person.username:<8} {PASSWORD}   ({person.role})")
            self.stdout.write(f"  a home's own page, without an account: {_home_page()}")
            return
        with transaction.atomic():
            branch = _branch()
            _plans(branch)
            _people(branch)
            _letterhead(branch)
            _costs(branch)
        call_command("import_climate", "--default", "--branch", branch.slug, stdout=self.stdout)
        today = timezone.localdate(timezone=branch.zone)
        if options["without_homes"]:
            return
        if not Home.objects.of(branch).exists():
            office = User.objects.get(username="office")
            self.stdout.write(import_spreadsheet(branch, SPREADSHEET, office, today))
        season = _season(branch, today)
        self.stdout.write(f"{season}: {season.visits.count()} visits owed")


def _home_page() -> str:
    """The address that a customer finds in a reminder."""
    home = Home.objects.exclude(customer__email="").order_by("pk").first()
    if home is None:
        return "none yet"
    link = link_for(
        purpose=HOME, about=about_home(home.pk), now=timezone.now(), customer=home.customer
    )
    return address_of(link, "reminders:home")


def _branch() -> Branch:
    return Branch.objects.get_or_create(
        slug="west-allis",
        defaults={
            "name": "Harrow & Finch, West Allis",
            "place": "West Allis, WI",
            "time_zone": "America/Chicago",
            "latitude": 43.0111,
            "longitude": -88.0045,
            "elevation_ft": 730,
        },
    )[0]


def _plans(branch: Branch) -> None:
    offers = [
        ("annual", "Spring check", "149.00", "89.00", 1, 0),
        ("semi-annual", "Spring and autumn checks", "259.00", "149.00", 1, 1),
    ]
    for code, name, price, further, cooling, heating in offers:
        Plan.objects.get_or_create(
            branch=branch,
            code=code,
            defaults={
                "name": name,
                "price": price,
                "further_system_price": further,
                "cooling_checks": cooling,
                "heating_checks": heating,
            },
        )


def _people(branch: Branch) -> None:
    users = {person.username: _user(branch, person) for person in STAFF}
    for person in TECHNICIANS:
        technician, new = Technician.objects.get_or_create(
            branch=branch,
            name=person.name,
            defaults={
                "user": users[person.username],
                "skills": list(person.skills),
                "latitude": person.latitude,
                "longitude": person.longitude,
            },
        )
        if new:
            Shift.objects.bulk_create(
                Shift(technician=technician, weekday=weekday) for weekday in range(5)
            )
            for first, last, why in person.days_off:
                DayOff.objects.create(technician=technician, first=first, last=last, why=why)


def _letterhead(branch: Branch) -> None:
    Sender.objects.get_or_create(
        branch=branch,
        defaults={
            "from_name": "Harrow & Finch Heating and Cooling",
            "from_email": "office@example.com",
            "phone": "+14145550100",
            "emergency_phone": "+14145550199",
            "postal_address": "210 Quarry Lane, West Allis, WI 53214",
        },
    )


def _costs(branch: Branch) -> None:
    """Invented, so that the books can say what an agreement leaves."""
    if CostRates.objects.filter(branch=branch).exists():
        return
    prices = {part_key(name): Decimal(usd) for name, usd in PART_PRICES.items()}
    set_costs(branch=branch, hour_usd=Decimal("48.00"), drive_min_usd=Decimal("0.55"), parts=prices)


def _user(branch: Branch, person) -> User:
    user, new = User.objects.get_or_create(
        username=person.username,
        defaults={
            "first_name": person.first_name,
            "last_name": person.last_name,
            "role": person.role,
            "branch": branch,
        },
    )
    if new:
        user.set_password(PASSWORD)
        user.save(update_fields=["password"])
    return user


def _season(branch: Branch, today: dt.date) -> Season:
    """The coming spring: this year's until the end of May, else next year's."""
    year = today.year if today < dt.date(today.year, 6, 1) else today.year + 1
    season = Season.objects.filter(branch=branch, name=f"Spring {year}").first()
    if season:
        gather_visits(season=season)
        return season
    return open_season(
        branch=branch,
        name=f"Spring {year}",
        starts_on=dt.date(year, 4, 5),
        ends_on=dt.date(year, 6, 26),
    )
