"""Five springs of ten thousand agreements, written straight into the database in bulk."""

from __future__ import annotations

import datetime as dt
import random
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from agreements.actions.plans import version_on
from agreements.models import Agreement, OwedVisit, Plan
from benchmarks import shop_rows
from books.models import CostRates, RecordDigest
from customers.models import Filter, Home, System
from fieldwork.actions.check_lists import current_version
from fieldwork.models import CheckListKind, PartUsed, PhoneEvent, Record
from kit.when import moment_at
from letters.models import Letter
from reminders.models import HomeEvent
from scheduling.models import Offer, Season, Shift, Skill, State, Technician, Trip, Visit
from shop.models import Branch, Role, User

BATCH = 2000
FIRST_YEAR, SEASONS = 2023, 5
MONTHS = (4, 5), (6, 26)


def build(agreements: int, seed: int = 1) -> tuple[Branch, User, list[Season]]:
    """A branch whose every home was owed a cooling check in each of five springs."""
    chance = random.Random(seed)
    branch, _ = shop_rows.build(homes=agreements, visits=0, technicians=0, seed=seed)
    Season.objects.filter(branch=branch).delete()
    CostRates.objects.create(
        branch=branch, hour_usd=Decimal("52.00"), drive_min_usd=Decimal("0.35")
    )
    owner = User.objects.create(username="bench-owner", role=Role.OWNER)
    user = User.objects.create(username="bench-tech", role=Role.TECHNICIAN, branch=branch)
    staff = [
        Technician.objects.create(branch=branch, name=f"Driver {n}", skills=Skill.values)
        for n in range(30)
    ]
    Shift.objects.bulk_create(Shift(technician=t, weekday=d) for t in staff for d in range(5))
    homes = list(Home.objects.filter(customer__branch=branch).order_by("pk"))
    cooling = System.objects.filter(home__customer__branch=branch).order_by("pk")[::3]
    Filter.objects.bulk_create((Filter(system=one) for one in cooling), batch_size=BATCH)
    plan = Plan.objects.get(branch=branch)
    seasons = [
        _spring(branch, plan, homes, staff, user, FIRST_YEAR + n, chance) for n in range(SEASONS)
    ]
    return branch, owner, seasons


def _spring(branch, plan, homes, staff, user, year, chance) -> Season:
    (first_month, first_day), (last_month, last_day) = MONTHS
    season = Season.objects.create(
        branch=branch, name=f"Spring {year}", starts_on=dt.date(year, first_month, first_day),
        ends_on=dt.date(year, last_month, last_day),
    )  # fmt: skip
    start = dt.date(year, 1, 1)
    version = version_on(plan=plan, day=start)
    agreements = Agreement.objects.bulk_create(
        (Agreement(home=home, plan=plan, anchor_on=start, starts_on=start, version=version,
                   ends_on=dt.date(year, 12, 31), price=Decimal("149.00")) for home in homes),
        batch_size=BATCH,
    )  # fmt: skip
    through = Agreement.systems.through
    systems = dict(System.objects.filter(home__in=homes).values_list("home_id", "pk"))
    through.objects.bulk_create(
        (through(agreement_id=a.pk, system_id=systems[a.home_id]) for a in agreements),
        batch_size=BATCH,
    )
    fates = [_fate(season, year, chance) for _ in agreements]
    owed = OwedVisit.objects.bulk_create(
        (OwedVisit(agreement=a, kind="cooling", due_from=dt.date(year, 3, 1),
                   due_until=dt.date(year, 6, 15), closed=closed, closed_on=day if closed else None,
                   why_waived="moves out" if closed == "waived" else "")
         for a, (closed, day) in zip(agreements, fates, strict=True)),
        batch_size=BATCH,
    )  # fmt: skip
    _visits(season, owed, fates, staff, user, chance)
    _letters(season, homes, chance)
    return season


def _fate(season: Season, year: int, chance: random.Random) -> tuple[str, dt.date]:
    day = season.starts_on + dt.timedelta(days=chance.randrange(80))
    luck = chance.random()
    if year == FIRST_YEAR + SEASONS - 1 and luck < 0.4:
        return "", day
    return ("waived" if luck > 0.98 else "done"), day


def _visits(season, owed, fates, staff, user, chance) -> None:
    zone = season.branch.zone
    free = {}
    rows, facts = [], []
    for row, (closed, day) in zip(owed, fates, strict=True):
        technician = chance.choice(staff)
        number = free[technician, day] = free.get((technician, day), -1) + 1
        starts_at = moment_at(day, 6 * 60 + 37 * number, zone)
        slot = (technician, starts_at, starts_at + dt.timedelta(hours=1))
        facts.append(slot)
        placed = closed == "done"
        rows.append(
            Visit(
                owed_visit=row, season=season,
                state={"done": State.DONE, "waived": State.WAIVED, "": State.OWED}[closed],
                **(dict(zip(("technician", "starts_at", "ends_at"), slot, strict=True))
                   if placed else {}),
            )
        )  # fmt: skip
    visits = Visit.objects.bulk_create(rows, batch_size=BATCH)
    done = [(v, f) for v, f in zip(visits, facts, strict=True) if v.state == State.DONE]
    _trips(season, done, user, chance)


def _trips(season, done, user, chance) -> None:
    trips = [_trip(visit, slot, "done") for visit, slot in done]
    cold = [one for one in done if chance.random() < 0.08]
    a_week = dt.timedelta(days=7)
    trips += [_trip(v, (t, s - a_week, e - a_week), "cold") for v, (t, s, e) in cold]
    Trip.objects.bulk_create(trips, batch_size=BATCH)
    Offer.objects.bulk_create(
        (Offer(visit=v, made_at=s - 2 * a_week, answer_by=s - a_week, answer="accepted",
               answered_at=s - a_week) for v, (_, s, _) in done),
        batch_size=BATCH,
    )  # fmt: skip
    version = current_version(branch=season.branch, kind=CheckListKind.COOLING, now=timezone.now())
    records = Record.objects.bulk_create(
        (Record(visit=v, day=s.date(), technician=t, version=version, outcome="done",
                completed_at=e, on_the_way_at=s - dt.timedelta(minutes=12), arrived_at=s, left_at=e)
         for v, (t, s, e) in done),
        batch_size=BATCH,
    )  # fmt: skip
    RecordDigest.objects.bulk_create(
        (RecordDigest(record=r, read_at=timezone.now(), test=chance.choice(["warm"] * 3 +
                      ["provisional"]), act=chance.choice(["", "", "", "E", "C"]),
                      watch=chance.choice(["", "", "B", "F"])) for r in records),
        batch_size=BATCH,
    )  # fmt: skip
    some = [record for record in records if chance.random() < 0.1]
    events = PhoneEvent.objects.bulk_create(
        (PhoneEvent(client_key=UUID(int=chance.getrandbits(128)), technician=r.technician, by=user,
                    kind="part", day=r.day, phone_at=r.left_at, made_at=r.left_at,
                    received_at=r.left_at, state="applied") for r in some),
        batch_size=BATCH,
    )  # fmt: skip
    PartUsed.objects.bulk_create(
        (PartUsed(record=r, words="Capacitor 45/5", event=e) for r, e in
         zip(some, events, strict=True)),
        batch_size=BATCH,
    )  # fmt: skip


def _trip(visit, slot, outcome) -> Trip:
    technician, starts_at, ends_at = slot
    return Trip(
        visit=visit, technician=technician, starts_at=starts_at, ended_at=ends_at,
        outcome=outcome, why="48 °F" if outcome == "cold" else "", warmth=0.85,
    )  # fmt: skip


def _letters(season, homes, chance) -> None:
    """Two filter letters a home and season; every third home changed its filter after one."""
    zone = season.branch.zone
    filters = dict(Filter.objects.values_list("system__home_id", "pk"))
    letters, events = [], []
    for home in homes:
        for number in range(2):
            day = season.starts_on + dt.timedelta(days=40 * number + chance.randrange(20))
            at = moment_at(day, 9 * 60, zone)
            letters.append(
                Letter(customer_id=home.customer_id, kind="filter", about=f"home:{home.pk}",
                       occasion=f"filter:{day}", to_email="c@example.com", state="sent",
                       written_at=at, due_at=at, sent_at=at, body="x" * 400)
            )  # fmt: skip
        if home.pk in filters:
            told = at + dt.timedelta(days=2)
            events.append(
                HomeEvent(home=home, kind="filter_changed", filter_id=filters[home.pk],
                          on=told.date(), told_at=told)
            )  # fmt: skip
    Letter.objects.bulk_create(letters, batch_size=BATCH)
    HomeEvent.objects.bulk_create(events, batch_size=BATCH)
