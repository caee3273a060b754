"""A make-believe branch with a year of reminders behind it, written into PostgreSQL in bulk."""

from __future__ import annotations

import datetime as dt

from django.db import connection, models
from django.utils import timezone

from agreements.actions.plans import version_on
from agreements.models import Agreement, Plan
from customers.models import Customer, Filter, Home, System, SystemKind
from letters.models import Letter, Link, Sender
from reminders.actions.outbox import HOME
from reminders.reading import about_home
from shop.models import Branch
from weather.actions import set_climate
from weather.demonstration import demonstration_climate

TODAY = dt.date(2027, 6, 10)
BATCH = 10_000
# A filter is reminded of about every 40 days, and of three yearly things once each.
FILTER_LETTERS, EVERY_DAYS = 9, 40
LAST_YEARS = ("plants", "rinse", "cover_off")


def build(homes: int) -> Branch:
    """The branch: each home with two systems, a filter, an agreement, and twelve letters."""
    branch = Branch.objects.create(
        name="Bench", slug="bench", place="West Allis, WI", time_zone="America/Chicago",
        latitude=43.01, longitude=-88.0,
    )  # fmt: skip
    set_climate(branch=branch, climate=demonstration_climate(), now=timezone.now())
    Sender.objects.create(
        branch=branch, from_name="Bench", from_email="office@example.com", phone="+14145550100",
        postal_address="7 Mill Lane, West Allis, WI 53214",
    )  # fmt: skip
    plan = Plan.objects.create(branch=branch, name="Spring check", code="annual", price=149)
    for first in range(0, homes, BATCH):
        _homes(branch, plan, first, min(BATCH, homes - first))
    _past_letters(branch)
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE")
    return branch


def _homes(branch: Branch, plan: Plan, first: int, count: int) -> None:
    customers = Customer.objects.bulk_create(
        Customer(branch=branch, name=f"Customer {n}", email=f"c{n}@example.com")
        for n in range(first, first + count)
    )
    homes = Home.objects.bulk_create(
        Home(
            customer=customer, street=f"{n} Alder Street", city="Mequon", state="WI", zip="53092",
            pets=n % 3 == 0, plants_near_unit=n % 2 == 0, winter_cover=n % 4 == 0,
            ice_falls_on_unit=n % 8 == 0, high_low_returns=n % 5 == 0,
        )
        for n, customer in enumerate(customers, first)
    )  # fmt: skip
    # Whoever had a letter has a link to the home's own page.
    Link.objects.bulk_create(
        Link(
            purpose=HOME, about=about_home(home.pk), customer_id=home.customer_id,
            made_at=timezone.now(),
        )
        for home in homes
    )  # fmt: skip
    for kind in (SystemKind.FURNACE, SystemKind.AIR_CONDITIONER):
        systems = System.objects.bulk_create(System(home=home, kind=kind) for home in homes)
    Filter.objects.bulk_create(Filter(system=system, size="16x25") for system in systems)
    start = TODAY - dt.timedelta(days=200)
    version = version_on(plan=plan, day=start)
    Agreement.objects.bulk_create(
        Agreement(
            home=home, plan=plan, anchor_on=start, starts_on=start,
            ends_on=start + dt.timedelta(days=364), price=149, version=version,
        )
        for home in homes
    )  # fmt: skip


def _past_letters(branch: Branch) -> None:
    """The letters of the year before, spread evenly over its days."""
    customer = Customer.objects.filter(branch=branch).first()
    sample = Letter.objects.create(
        customer=customer, kind="filter", about="sample", occasion="sample",
        to_email="c@example.com", facts={"why": "x" * 120}, state="sent",
        written_at=timezone.now(), due_at=timezone.now(), sent_at=timezone.now(), body="x" * 600,
    )  # fmt: skip
    day = f"date '{TODAY}' - ((h.id % {EVERY_DAYS}) + n * {EVERY_DAYS} + 1)::int"
    _copy(
        sample,
        f"""customers_home h JOIN customers_system s ON s.home_id = h.id
            JOIN customers_filter f ON f.system_id = s.id,
            generate_series(0, {FILTER_LETTERS - 1}) n""",
        kind="'filter'",
        occasion=f"'filter:' || f.id || ':' || ({day})",
        written_at=f"({day})::timestamptz",
    )
    kinds = ", ".join(f"('{kind}')" for kind in LAST_YEARS)
    _copy(
        sample,
        f"customers_home h, (VALUES {kinds}) k (kind)",
        kind="k.kind",
        occasion=f"k.kind || ':{TODAY.year - 1}'",
        written_at=f"timestamptz '{TODAY.year - 1}-05-29'",
    )
    sample.delete()


def _copy(sample: Letter, rows: str, **columns: str) -> None:
    """One letter for each of the rows: the sample's values but for the columns given."""
    given = columns | {
        "about": "'home:' || h.id",
        "customer_id": "h.customer_id",
        "message_id": "'<' || gen_random_uuid() || '@example.com>'",
    }
    names = [
        _column(field) for field in Letter._meta.local_concrete_fields if not field.primary_key
    ]
    values = ", ".join(given.get(name, f"sample.{name}") for name in names)
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO letters_letter ({', '.join(names)}) SELECT {values} FROM {rows}, "
            f"letters_letter sample WHERE sample.id = {sample.pk}"
        )


def _column(field: models.Field) -> str:
    assert field.column is not None
    return field.column
