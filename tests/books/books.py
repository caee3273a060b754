"""A played-out spring for the books: visits done warm, provisionally, waived, lost to cold."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any
from uuid import uuid4

from agreements.actions import close_owed_visit
from books.actions.digest import digest_records
from fieldwork.actions.check_lists import current_version
from fieldwork.models import CheckListKind, PartUsed, PhoneEvent, Record
from scheduling.actions.visits import leave_test_owed, promise_visit, waive_visit
from scheduling.models import Outcome, Season, State, Trip, Visit
from tests import cast, factories
from tests.scheduling import spring

NOW = dt.datetime(2027, 6, 20, 15, tzinfo=dt.UTC)
A_DAY = dt.timedelta(days=1)


def season(year: int = 2027) -> Season:
    return factories.SeasonFactory(
        branch=cast.cedarburg(),
        name=f"Spring {year}",
        starts_on=dt.date(year, 5, 3),
        ends_on=dt.date(year, 6, 12),
    )


def owed(of: Season, **agreement: Any) -> Visit:
    """One more cooling check owed in the season, at a home of its own."""
    home = factories.HomeFactory(customer=factories.CustomerFactory(branch=of.branch))
    system = factories.SystemFactory(home=home)
    made = factories.AgreementFactory(home=home, **agreement)
    made.systems.add(system)
    row = factories.OwedVisitFactory(
        agreement=made, due_from=of.starts_on - 30 * A_DAY, due_until=of.ends_on
    )
    return factories.VisitFactory(owed_visit=row, season=of)


def promised(visit: Visit, day: dt.date, hour: int = 13) -> Visit:
    starts_at = spring.at(day, hour)
    return promise_visit(
        visit=visit, technician=spring.technician(), starts_at=starts_at, minutes=60,
        now=starts_at - 7 * A_DAY,
    )  # fmt: skip


def done(visit: Visit, day: dt.date, test: str = "warm", hour: int = 13) -> Visit:
    """Carried out on this day; `test` empty: without a record."""
    promised(visit, day, hour)
    if test:
        record(visit, day, test=test)
    starts_at = spring.at(day, hour)
    Trip.objects.create(
        visit=visit, technician=visit.technician, starts_at=starts_at,
        ended_at=starts_at + dt.timedelta(hours=1), outcome=Outcome.DONE, warmth=0.9,
    )  # fmt: skip
    Visit.objects.filter(pk=visit.pk).update(state=State.DONE)
    close_owed_visit(owed=visit.owed_visit, closed="done", on=day)
    return visit


def record(
    visit: Visit, day: dt.date, test: str = "warm", verdicts: tuple[tuple[str, str], ...] = (),
    **more: Any,
) -> Record:  # fmt: skip
    """A finished record. `verdicts`: group and outcome."""
    version = current_version(branch=cast.cedarburg(), kind=CheckListKind.COOLING, now=NOW)
    system = visit.owed_visit.agreement.systems.get()
    judged = {
        "test": test,
        "verdicts": [{"group": g, "outcome": o, "applies": True} for g, o in verdicts],
    }
    return Record.objects.create(
        visit=visit, day=day, technician=spring.technician(), version=version, outcome="done",
        completed_at=NOW, judgement={str(system.pk): judged}, **more,
    )  # fmt: skip


def lost_to_cold(visit: Visit, day: dt.date) -> Visit:
    promised(visit, day, 9)
    return leave_test_owed(visit=visit, now=spring.at(day, 10), why="48 °F outdoors.")


def waived(visit: Visit) -> Visit:
    return waive_visit(visit=visit, why="moves out", now=NOW)


def part(of: Record, words: str, quantity: str = "1") -> PartUsed:
    return PartUsed.objects.create(
        record=of, words=words, quantity=Decimal(quantity), event=event(of)
    )


def event(of: Record) -> PhoneEvent:
    technician = of.technician
    return PhoneEvent.objects.create(
        client_key=uuid4(), technician=technician, by=technician.user, kind="part", day=of.day,
        visit=of.visit, phone_at=NOW, made_at=NOW, received_at=NOW, state="applied",
    )  # fmt: skip


def read(of: Season) -> int:
    return digest_records(season=of, now=NOW)
