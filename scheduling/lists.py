"""Visits with their promises, trips and technicians as files."""

from __future__ import annotations

from collections.abc import Iterator

from kit.lists import Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from kit.words import check_kind
from scheduling.models import Technician, Trip, Visit
from shop.models import Branch


def _visits(branch: Branch, asked: Asked) -> Iterator[Visit]:
    found = Visit.objects.filter(season__branch=branch)
    season = str(asked.query.get("season", ""))
    if season.isdecimal() and len(season) < 10:
        found = found.filter(season=int(season))
    rows = found.with_home().select_related("season", "owed_visit__agreement__plan")
    rows = rows.prefetch_related("offers")
    return rows.order_by("season__starts_on", "pk").iterator(chunk_size=A_CHUNK)


def _trips(branch: Branch, _: Asked) -> Iterator[Trip]:
    rows = Trip.objects.filter(visit__season__branch=branch).select_related(
        "technician", "visit__season", "visit__owed_visit__agreement__home__customer"
    )
    return rows.iterator(chunk_size=A_CHUNK)


def _technicians(branch: Branch, _: Asked) -> Iterator[Technician]:
    rows = Technician.objects.of(branch).select_related("branch")
    return rows.prefetch_related("shifts", "days_off").iterator(chunk_size=A_CHUNK)


def _last_answer(visit: Visit) -> str:
    """What the customer said to the latest offer; "" when nothing was offered."""
    offers = visit.offers.all()
    return offers[0].get_answer_display() if offers else ""


def _last_offer(visit: Visit):
    offers = visit.offers.all()
    return offers[0].made_at if offers else None


def _hours(technician: Technician) -> str:
    return "; ".join(
        f"{shift.get_weekday_display()} {shift.starts_at:%H:%M} to {shift.ends_at:%H:%M}"
        for shift in technician.shifts.all()
    )


VISITS = (
    Column("Visit no.", lambda visit: visit.pk, "number"),
    Column("Agreement no.", lambda visit: visit.owed_visit.agreement_id, "number"),
    Column("Season", lambda visit: visit.season.name),
    Column("Customer", lambda visit: visit.owed_visit.home.customer.name),
    Column("Address", lambda visit: visit.owed_visit.home.address),
    Column("Plan", lambda visit: visit.owed_visit.agreement.plan.name),
    Column("For", lambda visit: check_kind(visit.kind)),
    Column("State", lambda visit: visit.get_state_display()),
    Column("Technician", lambda visit: visit.technician and visit.technician.name),
    Column("Begins", lambda visit: visit.starts_at, "moment"),
    Column("Ends", lambda visit: visit.ends_at, "moment"),
    Column("Offered", _last_offer, "moment"),
    Column("Answer", _last_answer),
    Column("Warmth", lambda visit: visit.warmth, "number"),
    Column("Held since", lambda visit: visit.held_since, "moment"),
    Column("Why", lambda visit: visit.why),
    Column("Due from", lambda visit: visit.owed_visit.due_from, "day"),
    Column("Due until", lambda visit: visit.owed_visit.due_until, "day"),
)

TRIPS = (
    Column("Visit no.", lambda trip: trip.visit_id, "number"),
    Column("Season", lambda trip: trip.visit.season.name),
    Column("Customer", lambda trip: trip.visit.owed_visit.home.customer.name),
    Column("Address", lambda trip: trip.visit.owed_visit.home.address),
    Column("Technician", lambda trip: trip.technician.name),
    Column("Begins", lambda trip: trip.starts_at, "moment"),
    Column("Ended", lambda trip: trip.ended_at, "moment"),
    Column("Outcome", lambda trip: trip.get_outcome_display()),
    Column("Why", lambda trip: trip.why),
)

TECHNICIANS = (
    Column("Name", lambda technician: technician.name),
    Column("Active", lambda technician: technician.active),
    Column("Skills", lambda technician: ", ".join(technician.skill_names)),
    Column("Works", _hours),
    Column(
        "Days off",
        lambda technician: "; ".join(
            f"{off.first.isoformat()} to {off.last.isoformat()}"
            for off in technician.days_off.all()
        ),
    ),
)

LISTS = {
    "visits": ListFile(
        "Visits and promises", "a visit in its season, with its slot", VISITS, _visits
    ),
    "trips": ListFile("Trips", "a drive to a home, and how it ended", TRIPS, _trips),
    "technicians": ListFile(
        "Technicians", "a technician with skills and hours", TECHNICIANS, _technicians
    ),
}
