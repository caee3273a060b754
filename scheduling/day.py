"""One day from rows: each technician's hours beside the day's temperature curve."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.urls import reverse

from kit import words
from kit.pictures.day_curve import DayBlock, DayCurvePicture, DayHours, draw_day_curve
from kit.pictures.warm_spans import warm_spans
from kit.when import minute_of_day, moment_at, utc_offset_h
from scheduling.models import Technician, Visit
from shop.models import Branch
from weather.outlook import Outlook

# A cooling check is done or found impossible within two hours of its start.
TEST_SPAN_H = 2.0
A_PAGE = 15  # technicians; a hundred with seven visits each took seconds and 700 kB


@dataclass(frozen=True, slots=True)
class Stop:
    """What the day's screen says of a visit. A tuple of its row takes a third of a model's time."""

    pk: int
    technician: int
    state: str
    starts_at: dt.datetime
    ends_at: dt.datetime
    warmth: float | None
    travel_added_min: float | None
    kind: str
    due_until: dt.date
    city: str
    customer: str

    @property
    def url(self) -> str:
        return _page_of(self.pk)


_OWED, _HOME = "owed_visit", "owed_visit__agreement__home"
_OF_A_STOP = (
    "pk", "technician", "state", "starts_at", "ends_at", "warmth", "travel_added_min",
    f"{_OWED}__kind", f"{_OWED}__due_until", f"{_HOME}__city", f"{_HOME}__customer__name",
)  # fmt: skip


@lru_cache(maxsize=10_000)  # of a day of 105 visits, half of the time of its picture
def _page_of(visit: int) -> str:
    return reverse("scheduling:visit", args=[visit])


Of = TypeVar("Of", Visit, Stop)


@dataclass(frozen=True)
class Route(Generic[Of]):
    """A technician's visits of the day, in order; `away`: why there can be none."""

    technician: Technician
    visits: list[Of]
    away: str


@dataclass(frozen=True, slots=True)
class Name:
    """A technician in the list of a long day: on which page, with how many visits."""

    technician: int
    name: str
    page: int
    visits: int


def pages_of(branch: Branch, only: Technician | None = None) -> Paginator:
    """The active technicians, key and name; a large branch's day takes several pages."""
    people = Technician.objects.of(branch).active()
    if only is not None:
        people = people.filter(pk=only.pk)
    return Paginator(list(people.values_list("pk", "name")), A_PAGE)


def roster(branch: Branch, day: dt.date, pages: Paginator) -> list[Name]:
    """Everybody of the day, wherever her page is. One query."""
    counted = _visits(branch, day).order_by().values_list("technician").annotate(count=Count("pk"))
    visits = dict(counted)
    return [
        Name(pk, name, number, visits.get(pk, 0))
        for number in pages.page_range
        for pk, name in pages.page(number)
    ]


def routes_of(branch: Branch, day: dt.date, among: list[int] | None = None) -> list[Route[Visit]]:
    """The day of each active technician, or of those `among` them. Four queries."""
    visits = _placed(branch, day, among).with_home()
    return _routes(branch, day, among, ((visit.technician_id, visit) for visit in visits))


def stops_of(branch: Branch, day: dt.date, among: list[int]) -> list[Route[Stop]]:
    """The same for the screen, which only shows them."""
    rows = _placed(branch, day, among).values_list(*_OF_A_STOP)
    stops = (Stop(*row) for row in rows)
    return _routes(branch, day, among, ((stop.technician, stop) for stop in stops))


def _placed(branch: Branch, day: dt.date, among: list[int] | None):
    visits = _visits(branch, day).order_by("starts_at")
    return visits if among is None else visits.filter(technician__in=among)


def _routes(
    branch: Branch, day: dt.date, among: list[int] | None, visits: Iterable[tuple[int, Of]]
) -> list[Route[Of]]:
    technicians = Technician.objects.of(branch).active().prefetch_related("shifts", "days_off")
    if among is not None:
        technicians = technicians.filter(pk__in=among)
    stops: dict[int, list[Of]] = {}
    for technician, visit in visits:
        stops.setdefault(technician, []).append(visit)
    return [Route(one, stops.get(one.pk, []), _away(branch, one, day)) for one in technicians]


def _visits(branch: Branch, day: dt.date):
    first = moment_at(day, 0, branch.zone)
    last = moment_at(day + dt.timedelta(days=1), 0, branch.zone)
    of_day = Q(starts_at__gte=first, starts_at__lt=last)
    return Visit.objects.filter(of_day, season__branch=branch).placed()


def _away(branch: Branch, technician: Technician, day: dt.date) -> str:
    for absence in technician.days_off.all():
        if absence.first <= day <= absence.last:
            return f"Off: {absence.why}" if absence.why else "Day off"
    if not branch.works_on(day.weekday()):
        return "The branch is closed"
    if not any(shift.weekday == day.weekday() for shift in technician.shifts.all()):
        return "No shift on this weekday"
    return ""


def day_picture(
    branch: Branch, day: dt.date, routes: list[Route[Stop]], outlook: Outlook, *, links: bool
) -> DayCurvePicture:
    """Draw the day. `links`: visits lead to their page."""
    offset = utc_offset_h(day, branch.zone)
    band = outlook.hourly_band(day, clock_offset_h=offset)
    chances = outlook.table(
        [day], branch.test_temperature_f, clock_offset_h=[offset], span_h=TEST_SPAN_H
    )[0]
    return draw_day_curve(
        [
            DayHours(r.technician.name, tuple(_block(branch, v, links) for v in r.visits))
            for r in routes
        ],
        band.p10_f,
        band.p50_f,
        band.p90_f,
        test_temperature_f=branch.test_temperature_f,
        testable=warm_spans(chances.tolist(), branch.least_warmth, step_min=30),
        least_warmth=branch.least_warmth,
    )


def _block(branch: Branch, stop: Stop, link: bool) -> DayBlock:
    return DayBlock(
        start_min=minute_of_day(stop.starts_at, branch.zone),
        end_min=minute_of_day(stop.ends_at, branch.zone),
        state=stop.state,
        kind=stop.kind,
        label=stop.customer,
        url=stop.url if link else None,
        warmth=stop.warmth,
    )


def why_here(visit: Visit, source: str) -> str:
    """Why a placed visit stands where it stands, in a sentence. `source`: of its warmth, or ""."""
    if visit.warmth is None and visit.travel_added_min is None:
        return "Placed by the office."
    by = f" by the {source}" if source and visit.warmth is not None else ""
    parts = [words.warmth_of_check(visit.kind, visit.warmth) + by]
    if visit.travel_added_min is not None:
        parts.append(f"adds {words.duration(visit.travel_added_min)} of driving")
    parts.append(f"due by {words.day_name(visit.owed_visit.due_until)}")
    said = ", ".join(parts)
    return f"{said[0].upper()}{said[1:]}."
