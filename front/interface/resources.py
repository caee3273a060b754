"""The resources of the interface. Homes come without gate codes and notes about the way in."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from agreements.models import Agreement, Charge, OwedVisit, Payment, Refund
from customers.models import Home, System
from front.interface.fields import Field, Resource
from scheduling.models import Visit
from shop.models import Branch

SCOPES = {
    "homes": "Homes and systems",
    "agreements": "Agreements",
    "money": "Charges, payments, refunds and revenue",
    "visits": "Owed visits and visits",
}

NUMBER = Field("id", "whole", lambda row: row.pk, "Its number, for life")


def _agreement(row: Any) -> int:
    return row.agreement_id


OF_AGREEMENT = Field("agreement_id", "whole", _agreement, "The agreement that it belongs to")
AMOUNT = Field("amount", "money", lambda row: row.amount, "US dollars")


def _homes(branch: Branch) -> QuerySet[Home]:
    return Home.objects.of(branch).select_related("customer")


def _systems(branch: Branch) -> QuerySet[System]:
    return System.objects.filter(home__customer__branch=branch)


def _agreements(branch: Branch) -> QuerySet[Agreement]:
    return Agreement.objects.of(branch).select_related("plan").prefetch_related("systems")


def _refunds(branch: Branch) -> QuerySet[Refund]:
    return Refund.objects.filter(agreement__home__customer__branch=branch)


def _visits(branch: Branch) -> QuerySet[Visit]:
    return Visit.objects.filter(season__branch=branch).select_related(
        "season", "technician", "owed_visit"
    )


HOMES = Resource("homes", "home", "homes", "Homes with who pays for them.", (
    NUMBER,
    Field("customer_id", "whole", lambda home: home.customer_id, "Who pays; may own several homes"),
    Field("customer", "text", lambda home: home.customer.name, "The customer's name"),
    Field("phone", "text", lambda home: home.customer.phone, "E.164; empty: none on file"),
    Field("email", "text", lambda home: home.customer.email, "Empty: none on file"),
    Field("street", "text", lambda home: home.street, "House number and street"),
    Field("unit", "text", lambda home: home.unit, "Empty: none"),
    Field("city", "text", lambda home: home.city, "Town"),
    Field("state", "text", lambda home: home.state, "Two letters"),
    Field("zip", "text", lambda home: home.zip, "Five digits"),
    Field("latitude", "number", lambda home: home.latitude, "Degrees north", maybe=True),
    Field("longitude", "number", lambda home: home.longitude, "Degrees east", maybe=True),
), _homes)  # fmt: skip

SYSTEMS = Resource("systems", "system", "homes", "Systems of the homes.", (
    NUMBER,
    Field("home_id", "whole", lambda system: system.home_id, "Where it stands"),
    Field("kind", "text", lambda system: system.kind, "For example air_conditioner"),
    Field("brand", "text", lambda system: system.brand, "Empty: not on file"),
    Field("model_number", "text", lambda system: system.model_number, "Empty: not on file"),
    Field("serial", "text", lambda system: system.serial, "Empty: not on file"),
    Field("installed_year", "whole", lambda system: system.installed_year, "Year", maybe=True),
    Field("tons", "number", lambda system: system.tons, "Cooling, tons", maybe=True),
    Field("refrigerant", "text", lambda system: system.refrigerant, "Empty: not on file"),
    Field("last_checked_on", "day", lambda system: system.last_checked_on,
          "The last check", maybe=True),
), _systems)  # fmt: skip

AGREEMENTS = Resource("agreements", "agreement", "agreements", "One row is one term.", (
    NUMBER,
    Field("home_id", "whole", lambda one: one.home_id, "The home"),
    Field("plan", "text", lambda one: one.plan.code, "Code of the plan"),
    Field("plan_version", "whole", lambda one: one.version.number, "The terms it was sold on"),
    Field("starts_on", "day", lambda one: one.starts_on, "First day of the term"),
    Field("ends_on", "day", lambda one: one.ends_on, "Last day of the term"),
    Field("price", "money", lambda one: one.price, "US dollars for the term"),
    Field("rhythm", "text", lambda one: one.rhythm, "yearly or monthly"),
    Field("renews", "yes_no", lambda one: one.renews, "The customer agreed to renewal"),
    Field("systems", "whole", lambda one: len(one.systems.all()), "How many it covers"),
    Field("signed_at", "moment", lambda one: one.signed_at, "When it was signed", maybe=True),
    Field("ended_on", "day", lambda one: one.cancelled_on,
          "First day without it, when it ended before its term", maybe=True),
    Field("ended_because", "text", lambda one: one.ended_because, "Empty: it did not end early"),
), _agreements, day="starts_on")  # fmt: skip

CHARGES = Resource("charges", "charge", "money", "Amounts that are due; a credit is negative.", (
    NUMBER,
    OF_AGREEMENT,
    Field("kind", "text", lambda row: row.kind, "term, price or ending"),
    Field("due_on", "day", lambda row: row.due_on, "The day on which it is due"),
    AMOUNT,
    Field("withdrawn_on", "day", lambda row: row.withdrawn_on, "When it was let go", maybe=True),
), Charge.objects.of, day="due_on")  # fmt: skip

PAYMENTS = Resource("payments", "payment", "money",
    "Money that came in. A counter entry is negative and names the one that it takes back.", (
    NUMBER,
    OF_AGREEMENT,
    Field("on", "day", lambda row: row.on, "The day"),
    AMOUNT,
    Field("how", "text", lambda row: row.how, "cash, check, card, transfer or moved"),
    Field("reference", "text", lambda row: row.reference, "Number of a check or transfer"),
    Field("reverses_id", "whole", lambda row: row.reverses_id, "Takes back", maybe=True),
), Payment.objects.of, day="on")  # fmt: skip

REFUNDS = Resource("refunds", "refund", "money", "Money that went back.", (
    NUMBER,
    OF_AGREEMENT,
    Field("on", "day", lambda row: row.on, "The day"),
    AMOUNT,
    Field("how", "text", lambda row: row.how, "cash, check, card or transfer"),
    Field("reference", "text", lambda row: row.reference, "Number of a check or transfer"),
    Field("why", "text", lambda row: row.why, "The office's words"),
), _refunds, day="on")  # fmt: skip

OWED = Resource("owed-visits", "owed visit", "visits", "Visits that agreements promise.", (
    NUMBER,
    OF_AGREEMENT,
    Field("kind", "text", lambda row: row.kind, "cooling, heating or both"),
    Field("due_from", "day", lambda row: row.due_from, "First day of its window"),
    Field("due_until", "day", lambda row: row.due_until, "Last day of its window"),
    Field("closed", "text", lambda row: row.closed, "done, waived, or empty: still owed"),
    Field("closed_on", "day", lambda row: row.closed_on, "When it was closed", maybe=True),
), OwedVisit.objects.of, day="due_until")  # fmt: skip

VISITS = Resource("visits", "visit", "visits", "Owed visits in a season, with their slots.", (
    NUMBER,
    Field("owed_visit_id", "whole", lambda row: row.owed_visit_id, "What it carries out"),
    Field("agreement_id", "whole", lambda row: row.owed_visit.agreement_id, "Of the agreement"),
    Field("season", "text", lambda row: row.season.name, "For example Spring 2027"),
    Field("state", "text", lambda row: row.state,
          "owed, pencilled, offered, promised, held, done, missed or waived"),
    Field("technician", "text", lambda row: row.technician and row.technician.name,
          "Who drives", maybe=True),
    Field("starts_at", "moment", lambda row: row.starts_at, "Begin of its slot", maybe=True),
    Field("ends_at", "moment", lambda row: row.ends_at, "End of its slot", maybe=True),
), _visits)  # fmt: skip

RESOURCES = {
    one.name: one
    for one in (HOMES, SYSTEMS, AGREEMENTS, CHARGES, PAYMENTS, REFUNDS, OWED, VISITS)
}  # fmt: skip

# Computed, so without numbers and pages: agreements.postings.revenue_by_month.
MONTH_FIELDS = (
    Field("month", "day", lambda month: month.month, "First day of the month"),
    Field("billed", "money", lambda month: month.billed, "US dollars that fell due"),
    Field("earned", "money", lambda month: month.earned, "US dollars, by the branch's rule"),
    Field("deferred", "money", lambda month: month.deferred, "Billed and not earned at its end"),
)
