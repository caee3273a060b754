"""A technician's day from rows: the stops in driving order, and what to know at each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Max, Min, Prefetch, Q

from customers.models import System
from fieldwork.models import (
    Entry,
    EventState,
    PhoneEvent,
    Recommendation,
    RecommendationState,
    Record,
    RouteOrder,
)
from fieldwork.readings import GROUPS, Outcome
from kit.pictures.warm_spans import warm_spans
from kit.when import moment_at, utc_offset_h
from kit.words import clock_at
from scheduling.day import TEST_SPAN_H
from scheduling.models import Technician, Visit
from shop.models import Branch
from weather.outlook import Outlook
from weather.outlook_rows import NoClimate, outlook_of

UNSETTLED = (RecommendationState.OPEN, RecommendationState.TOLD, RecommendationState.AGREED)
ABOUT_MIN = 5


@dataclass(frozen=True)
class Found:
    """What was found at a home at its last record before this day."""

    day: dt.date
    outcome: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Stop:
    """One visit of the day. `record` None: nothing was done yet."""

    visit: Visit
    record: Record | None
    systems: list[System]
    last: Found | None
    recommended: list[Recommendation]
    warm: str

    @property
    def finished(self) -> bool:
        return self.record is not None and self.record.completed_at is not None

    @property
    def starts_at(self) -> dt.datetime | None:
        """When the trip was to begin, also where the visit has lost its slot since."""
        return (self.record and self.record.slot_starts_at) or self.visit.starts_at


@dataclass(frozen=True)
class MyDay:
    technician: Technician
    day: dt.date
    stops: list[Stop]
    order: RouteOrder | None
    conflicts: list[PhoneEvent]

    @property
    def next(self) -> Stop | None:
        """The first stop that is not finished."""
        return next((stop for stop in self.stops if not stop.finished), None)


def my_day(technician: Technician, day: dt.date, now: dt.datetime) -> MyDay:
    """The stops of a day, in order. The number of queries does not grow with them."""
    branch = technician.branch
    visits = list(visits_of(technician, day))
    records = {r.visit_id: r for r in Record.objects.filter(visit__in=visits).on(day)}
    order = RouteOrder.objects.filter(technician=technician, day=day).last()
    last, recommended = _last_found(visits, day), _recommended(visits)
    warm = _Warm(branch, day, now)
    stops = [
        Stop(
            visit=visit,
            record=records.get(visit.pk),
            systems=covered(visit),
            last=last.get(visit.owed_visit.agreement.home_id),
            recommended=recommended.get(visit.owed_visit.agreement.home_id, []),
            warm=warm.words(visit),
        )
        for visit in visits
    ]
    stops.sort(key=_driving_order(order))
    return MyDay(technician, day, stops, order, conflicts_of(technician, day))


def _driving_order(order: RouteOrder | None) -> Callable[[Stop], tuple[int, bool, float]]:
    """The technician's own order first; what it does not name, by time, behind."""
    place = {pk: number for number, pk in enumerate(order.visits if order else ())}

    def key(stop: Stop) -> tuple[int, bool, float]:
        at = stop.starts_at
        return place.get(stop.visit.pk, len(place)), at is None, at.timestamp() if at else 0.0

    return key


def visits_of(technician: Technician, day: dt.date):
    """What stands on the technician's day, and what she wrote a record of on it."""
    first = moment_at(day, 0, technician.branch.zone)
    last = moment_at(day + dt.timedelta(days=1), 0, technician.branch.zone)
    hers = Visit.objects.filter(technician=technician, starts_at__gte=first, starts_at__lt=last)
    written = Record.objects.filter(technician=technician, day=day)
    # Asked first, by two looks into an index: as a part of the query below, PostgreSQL would look
    # at every visit ever made.
    of_day = hers.order_by().values_list("pk").union(written.order_by().values_list("visit"))
    return (
        Visit.objects.filter(pk__in=[pk for (pk,) in of_day])
        .with_home()
        .select_related("season__branch")
        .prefetch_related(
            Prefetch("owed_visit__agreement__systems", System.objects.select_related("nameplate")),
            Prefetch(
                "owed_visit__agreement__home__systems",
                System.objects.select_related("nameplate"),
            ),
        )
        .order_by("starts_at", "pk")
    )


def days_beside(technician: Technician, day: dt.date) -> tuple[dt.date | None, dt.date | None]:
    """The nearest days before and after with a stop; None: there is none."""
    zone = technician.branch.zone
    first, last = moment_at(day, 0, zone), moment_at(day + dt.timedelta(days=1), 0, zone)
    beside = Visit.objects.filter(technician=technician).aggregate(
        before=Max("starts_at", filter=Q(starts_at__lt=first)),
        after=Min("starts_at", filter=Q(starts_at__gte=last)),
    )
    before, after = beside["before"], beside["after"]
    return before and before.astimezone(zone).date(), after and after.astimezone(zone).date()


def covered(visit: Visit) -> list[System]:
    """The systems that the agreement covers, else all of the home."""
    agreement = visit.owed_visit.agreement
    return list(agreement.systems.all()) or list(agreement.home.systems.all())


def conflicts_of(technician: Technician, day: dt.date) -> list[PhoneEvent]:
    events = PhoneEvent.objects.filter(technician=technician, day=day)
    kept = events.filter(state=EventState.CONFLICT)
    return list(kept.select_related("visit__owed_visit__agreement__home__customer"))


def _last_found(visits: list[Visit], day: dt.date) -> dict[int, Found]:
    """By home: the newest record before `day`."""
    homes = {visit.owed_visit.agreement.home_id for visit in visits}
    records = Record.objects.filter(
        visit__owed_visit__agreement__home__in=homes, day__lt=day
    ).completed()
    with_home = records.select_related("visit__owed_visit__agreement")
    return {
        record.visit.owed_visit.agreement.home_id: Found(
            record.day, record.get_outcome_display(), tuple(noticed(record))
        )
        for record in with_home.order_by("day", "pk")
    }


def noticed(record: Record) -> list[str]:
    """What was not within limits, in the verdicts' own titles."""
    return [
        f"{verdict['title']}: {verdict['outcome']}"
        for judgement in record.judgement.values()
        for verdict in judgement.get("verdicts", ())
        if verdict["outcome"] in (Outcome.WATCH, Outcome.ACT) and verdict["group"] in GROUPS
    ]


def _recommended(visits: list[Visit]) -> dict[int, list[Recommendation]]:
    """By home: what was recommended and is not settled."""
    homes = {visit.owed_visit.agreement.home_id for visit in visits}
    rows = Recommendation.objects.filter(
        record__visit__owed_visit__agreement__home__in=homes, state__in=UNSETTLED
    ).select_related("record__visit__owed_visit__agreement")
    found: dict[int, list[Recommendation]] = {}
    for row in rows:
        found.setdefault(row.record.visit.owed_visit.agreement.home_id, []).append(row)
    return found


class _Warm:
    """From what hour a day is warm enough, for each test temperature that is asked for."""

    def __init__(self, branch: Branch, day: dt.date, now: dt.datetime) -> None:
        self.branch, self.day = branch, day
        self._known: dict[int, str] = {}
        try:
            self.outlook: Outlook | None = outlook_of(branch, now)
        except NoClimate:
            self.outlook = None

    def words(self, visit: Visit) -> str:
        """Empty for a visit that needs no warmth."""
        if not visit.needs_warmth:
            return ""
        own = [s.least_test_f for s in covered(visit) if s.cools and s.least_test_f]
        test_f = max([self.branch.test_temperature_f, *own])
        if test_f not in self._known:
            self._known[test_f] = self._say(test_f)
        return self._known[test_f]

    def _say(self, test_f: int) -> str:
        if self.outlook is None:
            return f"Tested from {test_f} °F outdoors."
        offsets = [utc_offset_h(self.day, self.branch.zone)]
        chances = self.outlook.table(
            [self.day], float(test_f), clock_offset_h=offsets, span_h=TEST_SPAN_H
        )[0]
        spans = warm_spans(chances.tolist(), self.branch.least_warmth, step_min=30)
        if not spans:
            return f"Probably never {test_f} °F today: measure before you begin."
        from_min, _ = spans[0]
        when = "all day" if from_min == 0 else f"from about {clock_at(_about(from_min))}"
        return f"Probably {test_f} °F or more {when}."


def _about(minute: int) -> int:
    """Up to the next five minutes: a forecast knows no single ones."""
    return min(-(-minute // ABOUT_MIN) * ABOUT_MIN, 24 * 60 - ABOUT_MIN)


def entries_of(record: Record | None) -> list[Entry]:
    """Everything typed for a record, in order."""
    if record is None:
        return []
    return list(record.entries.select_related("event", "by", "system"))
