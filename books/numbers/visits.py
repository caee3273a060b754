"""Checks of a season: owed, tested warm, tested provisionally, waived, still owed."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet

from agreements.models import VisitKind
from books.models import RecordDigest
from books.numbers.number import Kind, Number
from kit.lists import Column
from kit.words import check_kind
from scheduling.models import Season, State, Visit
from scheduling.models.visit import VisitQuerySet

WARM, PROVISIONAL = "warm", "provisional"


def _home(visit: Visit) -> int:
    return visit.owed_visit.agreement.home_id


def _with_names(rows: QuerySet[Visit]) -> QuerySet[Visit]:
    return rows.select_related(
        "owed_visit__agreement__home__customer", "owed_visit__agreement__plan", "technician"
    )


VISITS = Kind(
    "checks",
    (
        Column("Customer", lambda v: v.owed_visit.home.customer.name),
        Column("Address", lambda v: v.owed_visit.home.address),
        Column("Check", lambda v: check_kind(v.kind)),
        Column("Plan", lambda v: str(v.owed_visit.agreement.plan)),
        Column("State", lambda v: v.state),
        Column("Technician", lambda v: str(v.technician or "")),
        Column("Due from", lambda v: v.owed_visit.due_from, "day"),
        Column("Due until", lambda v: v.owed_visit.due_until, "day"),
        Column("Closed on", lambda v: v.owed_visit.closed_on, "day"),
        Column("Why", lambda v: v.owed_visit.why_waived or v.why),
    ),
    _with_names,
    _home,
)


def every(season: Season) -> VisitQuerySet:
    return Visit.objects.for_season(season).order_by("owed_visit__due_until", "pk")


def _done(season: Season) -> VisitQuerySet:
    return every(season).filter(state=State.DONE)


def judged(test: str) -> Exists:
    return Exists(RecordDigest.objects.filter(record__visit=OuterRef("pk"), test=test))


def _tested(season: Season) -> VisitQuerySet:
    return _done(season).needing_warmth()


def warm(season: Season) -> QuerySet[Visit]:
    """One test of a home that was only provisional makes the visit so."""
    return _tested(season).filter(judged(WARM), ~judged(PROVISIONAL))


def provisional(season: Season) -> QuerySet[Visit]:
    return _tested(season).filter(judged(PROVISIONAL))


def without_readings(season: Season) -> QuerySet[Visit]:
    return _tested(season).exclude(Q(judged(WARM)) | Q(judged(PROVISIONAL)))


def needed_no_warmth(season: Season) -> QuerySet[Visit]:
    return _done(season).filter(owed_visit__kind=VisitKind.HEATING)


def waived(season: Season) -> QuerySet[Visit]:
    return every(season).filter(state=State.WAIVED)


def still_owed(season: Season) -> QuerySet[Visit]:
    return every(season).exclude(state__in=[State.DONE, State.WAIVED])


CHECKS = (
    Number("owed", "Owed", "All visits that the season had to clear.", VISITS, every),
    Number(
        "warm", "Tested warm",
        "Done, and the readings were taken where the preferred test temperature was reached.",
        VISITS, warm,
    ),
    Number(
        "provisional", "Tested, provisional",
        "Done above the test temperature, but colder than preferred: judged provisionally.",
        VISITS, provisional,
    ),
    Number(
        "no-readings", "Done, no readings",
        "Cooling checks that are done without a record that judges the test; whether they were "
        "tested warm is not known.",
        VISITS, without_readings,
    ),
    Number(
        "no-warmth", "Done, needs no warmth",
        "Checks that can be done on any day.", VISITS, needed_no_warmth,
    ),
    Number("waived", "Waived", "The customer let them go.", VISITS, waived),
    Number(
        "still-owed", "Still owed", "Neither done nor waived.", VISITS, still_owed
    ),
)  # fmt: skip
