"""A big make-believe shop, written straight into the database in bulk."""

from __future__ import annotations

import datetime as dt
import random

from django.utils import timezone

from agreements.actions.plans import version_on
from agreements.models import Agreement, OwedVisit, Plan
from customers.actions import refresh_search_text
from customers.models import Customer, Home, Precision, System, SystemKind
from kit.when import moment_at
from scheduling.models import Season, Shift, Skill, State, Technician, Visit
from shop.models import Branch, Role, User
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

FIRST, LAST = dt.date(2027, 4, 5), dt.date(2027, 6, 26)
FIRST_NAMES = [
    "Ada",
    "Ben",
    "Cora",
    "Dov",
    "Elsa",
    "Finn",
    "Gwen",
    "Hugo",
    "Iris",
    "Jonas",
    "Kira",
    "Lev",
    "Mona",
    "Nils",
    "Orla",
    "Pia",
]
LAST_NAMES = [
    "Ashby",
    "Birk",
    "Calder",
    "Dunmore",
    "Ekholm",
    "Farrow",
    "Gantt",
    "Hollis",
    "Ivers",
    "Jarvi",
    "Kessel",
    "Lunde",
]
STREETS = [
    "Alder",
    "Birch",
    "Cedar",
    "Dogwood",
    "Elm",
    "Fir",
    "Gingko",
    "Hazel",
    "Juniper",
    "Larch",
    "Maple",
    "Oak",
]
TOWNS = [
    "Brookfield",
    "Cudahy",
    "Glendale",
    "Greenfield",
    "Mequon",
    "Oconomowoc",
    "Waukesha",
    "Wauwatosa",
]


def build(homes: int, visits: int, technicians: int, seed: int = 1) -> tuple[Branch, User]:
    """A branch with that many homes, of which `visits` have one placed in the season."""
    chance = random.Random(seed)
    branch = Branch.objects.create(
        name="Bench", slug="bench", place="West Allis, WI", time_zone="America/Chicago",
        latitude=43.01, longitude=-88.0,
    )  # fmt: skip
    set_climate(branch=branch, climate=demonstration_climate(), now=timezone.now())
    office = User.objects.create(username="bench", role=Role.OFFICE, branch=branch)
    rows = _homes(branch, homes, chance)
    _season(branch, rows[:visits], technicians, chance)
    return branch, office


def _homes(branch: Branch, count: int, chance: random.Random) -> list[Home]:
    customers = Customer.objects.bulk_create(
        Customer(
            branch=branch,
            name=f"{chance.choice(FIRST_NAMES)} {chance.choice(LAST_NAMES)} {n}",
            phone=f"+1414555{100 + n % 100:04d}",
        )
        for n in range(count)
    )
    homes = [
        refresh_search_text(
            home=Home(
                customer=customer,
                street=f"{100 + n} {chance.choice(STREETS)} Street",
                city=chance.choice(TOWNS),
                state="WI",
                zip=f"53{chance.randrange(1, 300):03d}",
                latitude=43.0 + chance.gauss(0, 0.1),
                longitude=-88.0 + chance.gauss(0, 0.1),
                precision=Precision.EXACT,
            )
        )
        for n, customer in enumerate(customers)
    ]
    homes = Home.objects.bulk_create(homes, batch_size=1000)
    System.objects.bulk_create(
        [System(home=home, kind=SystemKind.AIR_CONDITIONER) for home in homes], batch_size=1000
    )
    return homes


def _season(branch: Branch, homes: list[Home], technicians: int, chance: random.Random) -> None:
    season = Season.objects.create(branch=branch, name="Spring 2027", starts_on=FIRST, ends_on=LAST)
    staff = [
        Technician.objects.create(branch=branch, name=f"Technician {n}", skills=Skill.values)
        for n in range(technicians)
    ]
    Shift.objects.bulk_create(Shift(technician=t, weekday=d) for t in staff for d in range(5))
    plan = Plan.objects.create(branch=branch, name="Spring check", code="annual", price=149)
    start = dt.date(2026, 9, 1)
    version = version_on(plan=plan, day=start)
    agreements = Agreement.objects.bulk_create(
        Agreement(
            home=home, plan=plan, anchor_on=start, starts_on=start,
            ends_on=dt.date(2027, 8, 31), price=149, version=version,
        )
        for home in homes
    )  # fmt: skip
    owed = OwedVisit.objects.bulk_create(
        OwedVisit(
            agreement=agreement, kind="cooling",
            due_from=dt.date(2027, 3, 1), due_until=dt.date(2027, 6, 15),
        )
        for agreement in agreements
    )  # fmt: skip
    Visit.objects.bulk_create(_visits(season, owed, staff, chance), batch_size=500)


def _visits(season, owed, staff, chance):
    """Seven visits a technician-day from the first of May on; what is left over is held."""
    zone, now = season.branch.zone, timezone.now()
    days = [LAST - dt.timedelta(days=n) for n in range(57)]
    slots = [
        (technician, day, 8 * 60 + 70 * n)
        for day in days
        if day.weekday() < 5
        for technician in staff
        for n in range(7)
    ]
    for number, row in enumerate(owed):
        if number >= len(slots):
            yield Visit(
                owed_visit=row, season=season, state=State.HELD, held_since=now,
                why="No day before 15 June is warm enough", release="A warm day",
            )  # fmt: skip
            continue
        technician, day, minute = slots[number]
        starts_at = moment_at(day, minute, zone)
        yield Visit(
            owed_visit=row, season=season, technician=technician, starts_at=starts_at,
            ends_at=starts_at + dt.timedelta(minutes=60), warmth=chance.uniform(0.7, 0.99),
            travel_added_min=chance.uniform(2, 20),
            state=chance.choice([State.PENCILLED, State.OFFERED, State.PROMISED]),
        )  # fmt: skip
