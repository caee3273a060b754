"""One day from rows: each technician's hours beside the day's temperature curve."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q
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


@dataclass(frozen=True)
class Route:
    """A technician's visits of the day, in order; `away`: why there can be none."""

    technician: Technician
    visits: list[Visit]
    away: str


def routes_of(branch: Branch, day: dt.date, only: Technician | None = None) -> list[Route]:
    """Every active technician's day, or only one's. Four queries, however many visits."""
    technicians = Technician.objects.of(branch).active().prefetch_related("shifts", "days_off")
    if only is not None:
        technicians = technicians.filter(pk=only.pk)
    stops: dict[int, list[Visit]] = {}
    for visit in _visits(branch, day):
        stops.setdefault(visit.technician_id, []).append(visit)
    return [Route(one, stops.get(one.pk, []), _away(branch, one, day)) for one in technicians]


def _visits(branch: Branch, day: dt.date):
    first = moment_at(day, 0, branch.zone)
    last = moment_at(day + dt.timedelta(days=1), 0, branch.zone)
    return (
        Visit.objects.filter(Q(starts_at__gte=first, starts_at__lt=last), season__branch=branch)
        .placed()
        .with_home()
        .order_by("starts_at")
    )


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
    branch: Branch, day: dt.date, routes: list[Route], outlook: Outlook, *, links: bool
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


def _block(branch: Branch, visit: Visit, link: bool) -> DayBlock:
    starts_at, ends_at = visit.slot
    return DayBlock(
        start_min=minute_of_day(starts_at, branch.zone),
        end_min=minute_of_day(ends_at, branch.zone),
        state=visit.state,
        kind=visit.owed_visit.kind,
        label=visit.owed_visit.home.customer.name,
        url=reverse("scheduling:visit", args=[visit.pk]) if link else None,
        warmth=visit.warmth,
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
