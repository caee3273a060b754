"""Trips of a season: all, and those from which the technician drove back with nothing."""

from __future__ import annotations

import datetime as dt

from django.db.models import Count, Exists, OuterRef, QuerySet
from django.db.models.functions import TruncDate

from books.models import RecordDigest
from books.numbers.number import Kind, Number, Rows
from kit.lists import Column
from kit.words import check_kind
from scheduling.models import Outcome, Season, Trip


def _with_names(rows: QuerySet[Trip]) -> QuerySet[Trip]:
    return rows.select_related("visit__owed_visit__agreement__home__customer", "technician")


TRIPS = Kind(
    "trips",
    (
        Column("Customer", lambda t: t.visit.owed_visit.home.customer.name),
        Column("Address", lambda t: t.visit.owed_visit.home.address),
        Column("Check", lambda t: check_kind(t.visit.owed_visit.kind)),
        Column("Technician", lambda t: str(t.technician)),
        Column("Began", lambda t: t.starts_at, "moment"),
        Column("Ended", lambda t: t.ended_at, "moment"),
        Column("Outcome", lambda t: t.get_outcome_display()),
        Column("Warmth expected", lambda t: t.warmth, "number"),
        Column("Why", lambda t: t.why),
    ),
    _with_names,
    lambda trip: trip.visit.owed_visit.agreement.home_id,
)


def every(season: Season) -> QuerySet[Trip]:
    return Trip.objects.for_season(season)


def _testable() -> Exists:
    """The trip's own record says that the weather would have allowed the test."""
    digests = RecordDigest.objects.filter(testable=True, record__visit=OuterRef("visit"))
    return Exists(digests.filter(record__slot_starts_at=OuterRef("starts_at")))


def lost_to_cold(season: Season) -> QuerySet[Trip]:
    return every(season).filter(~_testable(), outcome=Outcome.COLD)


def test_left_owed(season: Season) -> QuerySet[Trip]:
    """Warm enough, but what was read does not judge the test."""
    return every(season).filter(_testable(), outcome=Outcome.COLD)


def _ended(outcome: str) -> Rows:
    return lambda season: every(season).filter(outcome=outcome)


def trip_counts(season: Season, cold: int) -> dict[str, int]:
    """The counts of all of them; each as long as its number's list. `cold`: those lost to cold."""
    rows = every(season).order_by().values_list("outcome").annotate(n=Count("pk"))
    by_outcome = dict(rows)
    return {
        "trips": sum(by_outcome.values()),
        "cold-trips": cold,
        "test-owed": by_outcome.get(Outcome.COLD, 0) - cold,
        "absent": by_outcome.get(Outcome.ABSENT, 0),
        "lost": by_outcome.get(Outcome.LOST, 0),
    }


def cold_by_day(season: Season) -> dict[dt.date, int]:
    """Trips lost to cold by the branch's day."""
    day = TruncDate("starts_at", tzinfo=season.branch.zone)
    return dict(lost_to_cold(season).order_by().values_list(day).annotate(n=Count("pk")))


TRIPS_MADE = (
    Number("trips", "Trips", "Every drive to a home, however it ended.", TRIPS, every),
    Number(
        "cold-trips", "Lost to cold",
        "The technician was there and it was too cold outdoors to test; the test stayed owed.",
        TRIPS, lost_to_cold,
    ),
    Number(
        "test-owed", "Test left owed",
        "It was warm enough, but readings were missing or could not judge the test.",
        TRIPS, test_left_owed,
    ),
    Number("absent", "Nobody home", "Nobody opened.", TRIPS, _ended(Outcome.ABSENT)),
    Number("lost", "Lost otherwise", "Another cause, told with it.", TRIPS, _ended(Outcome.LOST)),
)  # fmt: skip
