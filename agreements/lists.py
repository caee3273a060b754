"""Agreements, the visits they owe, and their money as files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

from django.db.models import Count, QuerySet

from agreements.forms import ENDED, ENDING, EVERY, OVERDUE, NarrowForm
from agreements.models import Agreement, Charge, OwedVisit, Payment, Refund
from agreements.models.agreement import AgreementQuerySet
from agreements.money.revenue import MonthBalance
from agreements.postings import Posting, postings, revenue_by_month
from agreements.renewals import ended, ending_soon
from customers.models import Home
from kit.lists import Column
from kit.web.lists import A_CHUNK, Asked, ListFile
from kit.web.period import period_of
from kit.words import check_kind
from shop.models import Branch


def narrowed(branch: Branch, form: NarrowForm, today: dt.date) -> AgreementQuerySet:
    """The agreements of the screen, narrowed by plan, term and words."""
    asked = form.cleaned_data if form.is_valid() else {}
    found = _of_term(branch, asked.get("show", ""), today)
    if asked.get("plan"):
        found = found.filter(plan=asked["plan"])
    if asked.get("q"):
        found = found.filter(home__in=Home.objects.of(branch).matching(asked["q"]))
    return found.select_related("home__customer", "plan")


def _of_term(branch: Branch, show: str, today: dt.date) -> AgreementQuerySet:
    if show == ENDING:
        return ending_soon(branch, today).order_by("ends_on", "pk")
    if show == ENDED:
        return ended(branch, today).order_by("-ends_on", "pk")
    if show == OVERDUE:
        overdue = OwedVisit.objects.of(branch).still_owed().filter(due_until__lt=today)
        return Agreement.objects.filter(owed_visits__in=overdue, cancelled_on=None).distinct()
    if show == EVERY:
        return Agreement.objects.of(branch)
    return Agreement.objects.of(branch).filter(ends_on__gte=today, cancelled_on=None)


def _agreements(branch: Branch, asked: Asked) -> Iterator[Agreement]:
    found = narrowed(branch, NarrowForm(asked.query, branch=branch), asked.today)
    systems = Count("systems", distinct=True)
    return found.annotate(covered=systems).iterator(chunk_size=A_CHUNK)


def _owed(branch: Branch, _: Asked) -> Iterator[OwedVisit]:
    rows = OwedVisit.objects.of(branch).select_related(
        "agreement__home__customer", "agreement__plan", "visit__technician"
    )
    return rows.iterator(chunk_size=A_CHUNK)


def _of_period(rows: QuerySet[Any], day: str, asked: Asked) -> Iterator[Any]:
    """Money of the days asked for; without a last day also what is to come."""
    first, last = period_of(asked.query, dt.date.max)
    rows = rows.filter(**{f"{day}__lte": last})
    if first:
        rows = rows.filter(**{f"{day}__gte": first})
    return rows.select_related("agreement__home__customer", "agreement__plan").iterator(
        chunk_size=A_CHUNK
    )


def _charges(branch: Branch, asked: Asked) -> Iterator[Charge]:
    return _of_period(Charge.objects.of(branch), "due_on", asked)


def _payments(branch: Branch, asked: Asked) -> Iterator[Payment]:
    return _of_period(Payment.objects.of(branch).select_related("recorded_by"), "on", asked)


def _refunds(branch: Branch, asked: Asked) -> Iterator[Refund]:
    rows = Refund.objects.filter(agreement__home__customer__branch=branch)
    return _of_period(rows.select_related("recorded_by"), "on", asked)


def _postings(branch: Branch, asked: Asked) -> Iterator[Posting]:
    return postings(branch, *period_of(asked.query, asked.today))


def _revenue(branch: Branch, asked: Asked) -> list[MonthBalance]:
    first, last = period_of(asked.query, asked.today)
    months = revenue_by_month(branch, last)
    return [month for month in months if not first or month.booked_on >= first]


AGREEMENTS = (
    Column("Agreement no.", lambda one: one.pk, "number"),
    Column("Customer", lambda one: one.home.customer.name),
    Column("Address", lambda one: one.home.address),
    Column("Plan", lambda one: one.plan.name),
    Column("Version", lambda one: one.version.number, "number"),
    Column("First day", lambda one: one.starts_on, "day"),
    Column("Last day", lambda one: one.ends_on, "day"),
    Column("Price, USD", lambda one: one.price, "money"),
    Column("Paid", lambda one: one.get_rhythm_display()),
    Column("Systems", lambda one: one.covered, "number"),
    Column("Renews by itself", lambda one: one.renews),
    Column("Signed", lambda one: one.signed_at, "moment"),
    Column("Signed by", lambda one: one.signed_by),
    Column("Paused from", lambda one: one.paused_from, "day"),
    Column("Paused until", lambda one: one.paused_until, "day"),
    Column("Ended", lambda one: one.cancelled_on, "day"),
    Column("Why ended", lambda one: one.why_ended or one.get_ended_because_display()),
    Column("Renewal declined", lambda one: one.declined_on, "day"),
)


def _of_agreement(*more: Column) -> tuple[Column, ...]:
    return (
        Column("Agreement no.", lambda row: row.agreement.pk, "number"),
        Column("Customer", lambda row: row.agreement.home.customer.name),
        Column("Address", lambda row: row.agreement.home.address),
        Column("Plan", lambda row: row.agreement.plan.name),
        *more,
    )


def _visit_state(owed: OwedVisit) -> str:
    """Where it stands: closed, in a season, or in none yet."""
    if owed.closed:
        return owed.get_closed_display()
    visit = getattr(owed, "visit", None)  # a row of a room above, read by name
    return visit.get_state_display() if visit else "in no season yet"


def _slot(owed: OwedVisit) -> dt.datetime | None:
    visit = getattr(owed, "visit", None)
    return visit.starts_at if visit else None


OWED = _of_agreement(
    Column("For", lambda owed: check_kind(owed.kind)),
    Column("No.", lambda owed: owed.number, "number"),
    Column("Due from", lambda owed: owed.due_from, "day"),
    Column("Due until", lambda owed: owed.due_until, "day"),
    Column("State", _visit_state),
    Column("Begins", _slot, "moment"),
    Column("Closed", lambda owed: owed.closed_on, "day"),
    Column("Why waived", lambda owed: owed.why_waived),
)

CHARGES = _of_agreement(
    Column("Charge no.", lambda row: row.pk, "number"),
    Column("For", lambda row: row.get_kind_display()),
    Column("Due on", lambda row: row.due_on, "day"),
    Column("Amount, USD", lambda row: row.amount, "money"),
    Column("Let go", lambda row: row.withdrawn_on, "day"),
)


def _by(row: Any) -> str:
    return row.recorded_by.get_full_name() if row.recorded_by else ""


PAYMENTS = _of_agreement(
    Column("Payment no.", lambda row: row.pk, "number"),
    Column("On", lambda row: row.on, "day"),
    Column("Amount, USD", lambda row: row.amount, "money"),
    Column("How", lambda row: row.get_how_display()),
    Column("Number", lambda row: row.reference),
    Column("Takes back no.", lambda row: row.reverses_id, "number"),
    Column("Why", lambda row: row.why),
    Column("Recorded", lambda row: row.recorded_at, "moment"),
    Column("By", _by),
)

REFUNDS = _of_agreement(
    Column("Refund no.", lambda row: row.pk, "number"),
    Column("On", lambda row: row.on, "day"),
    Column("Amount, USD", lambda row: row.amount, "money"),
    Column("How", lambda row: row.get_how_display()),
    Column("Number", lambda row: row.reference),
    Column("Why", lambda row: row.why),
    Column("Recorded", lambda row: row.recorded_at, "moment"),
    Column("By", _by),
)

POSTINGS = (
    Column("Entry", lambda row: row.number, "number"),
    Column("Day", lambda row: row.on, "day"),
    Column("Account", lambda row: row.account),
    Column("Debit, USD", lambda row: row.debit, "money"),
    Column("Credit, USD", lambda row: row.credit, "money"),
    Column("Words", lambda row: row.words),
    Column("Agreement no.", lambda row: row.agreement.pk, "number"),
    Column("Customer", lambda row: row.agreement.home.customer.name),
    Column("Plan", lambda row: row.agreement.plan.name),
)

REVENUE = (
    Column("Month", lambda month: month.month, "day"),
    Column("Billed, USD", lambda month: month.billed, "money"),
    Column("Earned, USD", lambda month: month.earned, "money"),
    Column("Deferred at its end, USD", lambda month: month.deferred, "money"),
)

LISTS = {
    "agreements": ListFile("Agreements", "one term of an agreement", AGREEMENTS, _agreements),
    "owed-visits": ListFile("Owed visits", "a visit that an agreement promises", OWED, _owed),
    "charges": ListFile("Charges", "an amount that is due", CHARGES, _charges),
    "payments": ListFile("Payments", "money that came in, or a counter entry", PAYMENTS, _payments),
    "refunds": ListFile("Refunds", "money that went back", REFUNDS, _refunds),
    "postings": ListFile(
        "Revenue postings", "one side of an entry of the journal", POSTINGS, _postings
    ),
    "revenue": ListFile("Revenue by month", "a month: billed, earned, deferred", REVENUE, _revenue),
}
