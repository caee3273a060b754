"""Five years of a shop with 10,000 homes, 50 people in the office and 100 on the road, in bulk."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.utils import timezone

from agreements.models import Agreement, AgreementEvent, Charge, OwedVisit, Payment
from benchmarks import shop_rows
from kit.when import moment_at
from letters.models import Letter, LetterState, Sender
from scheduling.models import Season, State, Technician, Visit
from shop.models import Branch, Role, User

YEARS_BEFORE = 4
BATCH = 2000
PRICE = Decimal(149)


@dataclass(frozen=True)
class Crowd:
    """Who signs in, and what they will look at and write about."""

    office: list[str]
    """Session keys."""
    phones: list[tuple[str, list[tuple[int, int, str]]]]
    """Session key, and the promised stops: visit, system, day."""
    homes: list[int]
    agreements: list[int]
    pencilled: list[dict[str, str]]
    """What the office sends to promise a visit at the time at which it stands."""
    visits: list[str]
    season: int
    days: list[str]


def build(homes: int, office: int, technicians: int) -> Crowd:
    chance = random.Random(4)
    branch, _ = shop_rows.build(homes=homes, visits=homes, technicians=technicians)
    _letterhead(branch)
    for years_ago in range(YEARS_BEFORE, 0, -1):
        _a_year(branch, years_ago, chance)
    _paid(Agreement.objects.all())
    return _crowd(branch, office, chance)


def _letterhead(branch: Branch) -> None:
    """Never quiet while the benchmark runs."""
    noon = timezone.now().astimezone(branch.zone) + dt.timedelta(hours=12)
    Sender.objects.create(
        branch=branch, from_name="Bench", from_email="office@example.com",
        phone="(414) 555-0100", postal_address="1 Mill Street, West Allis, WI 53214",
        quiet_from=noon.time(), quiet_until=(noon + dt.timedelta(minutes=30)).time(),
    )  # fmt: skip


def _a_year(branch: Branch, years_ago: int, chance: random.Random) -> None:
    """One term of each agreement that runs now, with its visit done and its letter sent."""
    back = dt.timedelta(days=364 * years_ago)  # the same weekday
    now_ones = list(Agreement.objects.filter(starts_on__year=2026).order_by("pk"))
    terms = Agreement.objects.bulk_create(
        (
            Agreement(
                home_id=now.home_id, plan_id=now.plan_id, version_id=now.version_id,
                anchor_on=now.anchor_on - back, starts_on=now.starts_on - back,
                ends_on=now.ends_on - back, price=PRICE,
            )
            for now in now_ones
        ),
        batch_size=BATCH,
    )  # fmt: skip
    season = Season.objects.create(
        branch=branch, name=f"Spring {2027 - years_ago}", starts_on=shop_rows.FIRST - back,
        ends_on=shop_rows.LAST - back,
    )  # fmt: skip
    owed = OwedVisit.objects.bulk_create(
        (
            OwedVisit(
                agreement=term, kind="cooling", due_from=dt.date(2027, 3, 1) - back,
                due_until=dt.date(2027, 6, 15) - back, closed="done",
                closed_on=dt.date(2027, 5, 20) - back,
            )
            for term in terms
        ),
        batch_size=BATCH,
    )  # fmt: skip
    Visit.objects.bulk_create(_done(season, owed, back), batch_size=BATCH)
    Letter.objects.bulk_create(_told(branch, years_ago, back), batch_size=BATCH)


def _done(season: Season, owed: list[OwedVisit], back: dt.timedelta) -> Iterator[Visit]:
    staff = list(Technician.objects.filter(branch=season.branch).order_by("pk"))
    days = [shop_rows.LAST - back - dt.timedelta(days=n) for n in range(57)]
    slots = (
        (technician, day, 8 * 60 + 70 * n)
        for day in days if day.weekday() < 5
        for technician in staff
        for n in range(7)
    )  # fmt: skip
    for row, (technician, day, minute) in zip(owed, slots, strict=False):
        starts_at = moment_at(day, minute, season.branch.zone)
        yield Visit(
            owed_visit=row, season=season, technician=technician, starts_at=starts_at,
            ends_at=starts_at + dt.timedelta(minutes=60), warmth=0.9, state=State.DONE,
        )  # fmt: skip


def _told(branch: Branch, years_ago: int, back: dt.timedelta) -> Iterator[Letter]:
    at = timezone.now() - back
    for customer in branch.customers.order_by("pk"):
        yield Letter(
            customer=customer, kind="rinse", about=f"customer:{customer.pk}",
            occasion=f"{2027 - years_ago}", to_email=f"c{customer.pk}@example.com",
            facts={"why": "Pollen sticks to the coil."}, written_at=at, due_at=at,
            state=LetterState.SENT, sent_at=at,
        )  # fmt: skip


def _paid(agreements) -> None:
    """Each term asked for once and paid by card, and both written down."""
    rows = list(agreements.select_related(None).only("pk", "starts_on"))
    Charge.objects.bulk_create(
        (Charge(agreement=row, due_on=row.starts_on, amount=PRICE) for row in rows),
        batch_size=BATCH,
    )
    Payment.objects.bulk_create(
        (Payment(agreement=row, on=row.starts_on, amount=PRICE, how="card") for row in rows),
        batch_size=BATCH,
    )
    AgreementEvent.objects.bulk_create(
        (AgreementEvent(agreement=row, what="paid", words="$149.00 by card") for row in rows),
        batch_size=BATCH,
    )


def _crowd(branch: Branch, office: int, chance: random.Random) -> Crowd:
    staff = User.objects.bulk_create(
        User(username=f"office{n}", role=Role.OFFICE, branch=branch) for n in range(office)
    )
    season = Season.objects.filter(branch=branch).latest("starts_on")
    visits = Visit.objects.filter(season=season, technician__isnull=False).order_by("pk")
    stops: dict[int, list[tuple[int, int, str]]] = {}
    promised = visits.filter(state=State.PROMISED)
    facts = ("technician", "pk", "owed_visit__agreement__home__systems", "starts_at")
    for technician, pk, system, starts_at in promised.values_list(*facts):
        day = starts_at.astimezone(branch.zone).date().isoformat()
        stops.setdefault(technician, []).append((pk, system, day))
    pencilled = [
        _as_sent(visit, branch) for visit in visits.filter(state=State.PENCILLED)[:3000]
    ]  # fmt: skip
    chance.shuffle(pencilled)
    homes = list(branch.customers.values_list("homes", flat=True))
    running = Agreement.objects.filter(starts_on__year=2026).values_list("pk", flat=True)
    return Crowd(
        office=[_session(user) for user in staff],
        phones=[(_session(_driver(pk)), found) for pk, found in stops.items()],
        homes=homes,
        agreements=list(running),
        pencilled=pencilled,
        visits=[form["pk"] for form in pencilled],
        season=season.pk,
        days=sorted({day for found in stops.values() for _, _, day in found}),
    )


def _as_sent(visit: Visit, branch: Branch) -> dict[str, str]:
    local = visit.slot[0].astimezone(branch.zone)
    return {
        "pk": str(visit.pk), "technician": str(visit.technician_id), "minutes": "60",
        "day": local.date().isoformat(), "time": f"{local:%H:%M}", "promised": "on",
    }  # fmt: skip


def _driver(pk: int) -> User:
    technician = Technician.objects.get(pk=pk)
    technician.user = User.objects.create(
        username=f"driver{pk}", role=Role.TECHNICIAN, branch=technician.branch
    )
    technician.save()
    return technician.user


def _session(user: User) -> str:
    """As signing in leaves it."""
    store = SessionStore()
    store[SESSION_KEY] = str(user.pk)
    store[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[-1]
    store[HASH_SESSION_KEY] = user.get_session_auth_hash()
    store.create()
    return str(store.session_key)


def ten_thousand_letters(branch: Branch, count: int) -> None:
    """Due now, one to each customer."""
    now = timezone.now()
    Letter.objects.bulk_create(
        (
            Letter(
                customer=customer, kind="rinse", about=f"customer:{customer.pk}",
                occasion="now", to_email=f"c{customer.pk}@example.com",
                facts={"why": "Pollen sticks to the coil."}, written_at=now, due_at=now,
            )
            for customer in branch.customers.order_by("pk")[:count]
        ),
        batch_size=BATCH,
    )  # fmt: skip
