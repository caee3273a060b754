"""What customers are told of a finished record: the letter with the link to her report."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import CharField, Exists, OuterRef, Value
from django.db.models.functions import Cast, Concat

from customers.models import Home
from fieldwork.models import Record
from fieldwork.report import dangers_found, is_reported, system_tests
from letters.actions.write import write_letter
from letters.links import link_for, revoke_links, token_of
from letters.models import Letter, Link
from shop.models import Branch

REPORT = "report"  # the purpose of the link, its name in the letter, and the letter's kind
REPORT_VIEW = "fieldwork:customer-report"
FIRST = "1"
# Whoever has no e-mail address is told by telephone; then the line goes away by itself.
TOLD_WITHIN = dt.timedelta(days=14)
# A homeowner looks for it again when the next check comes, or when she sells the house.
LINK_LASTS = dt.timedelta(days=3 * 365)


def about(record: Record) -> str:
    """How letters and links name a record."""
    return f"record:{record.pk}"


def report_link(record: Record, now: dt.datetime) -> Link:
    """The customer's link to the report."""
    customer = record.visit.owed_visit.home.customer
    return link_for(
        purpose=REPORT, about=about(record), now=now, customer=customer, lasts=LINK_LASTS
    )


def announce_report(
    *, record: Record, now: dt.datetime, decided: bool = False, occasion: str = FIRST
) -> Letter | None:
    """Write the letter of a completed record, in the caller's transaction, once an occasion.

    None: nothing was looked at; the customer has no e-mail address; or something dangerous was
    found, which is told in person: the letter then waits for the office (`decided`).
    """
    if not is_reported(record) or (dangers_found(record) and not decided):
        return None
    owed = record.visit.owed_visit
    return write_letter(
        customer=owed.home.customer,
        kind=REPORT,
        about=about(record),
        occasion=occasion,
        now=now,
        facts={
            "check": owed.kind,
            "done_at": (record.completed_at or now).isoformat(),
            "technician": record.technician.name,
            "address": owed.home.address,
            "test": system_tests(record),
            "danger": dangers_found(record),
            "links": {REPORT: [report_link(record, now).pk, REPORT_VIEW]},
        },
    )


def send_report(*, record: Record, now: dt.datetime) -> Letter | None:
    """The office decided that the report goes, perhaps again; once a minute at most."""
    return announce_report(record=record, now=now, decided=True, occasion=f"{now:%Y-%m-%dT%H:%M}")


@dataclass(frozen=True)
class LinkedReport:
    """A report that the customer was sent and whose link still works."""

    day: dt.date
    check: str
    token: str


def reports_of_home(home: Home, now: dt.datetime) -> list[LinkedReport]:
    """The reports that a home's own page lists, newest first. Makes no link; two queries."""
    records = (
        Record.objects.filter(visit__owed_visit__agreement__home=home)
        .completed()
        .select_related("visit__owed_visit")
        .order_by("-day", "-pk")
    )
    by_name = {about(record): record for record in records}
    if not by_name:
        return []
    links = Link.objects.live(now).filter(
        purpose=REPORT, about__in=by_name, customer=home.customer_id
    )
    live = {link.about: token_of(link) for link in links}
    return [
        LinkedReport(record.day, record.visit.owed_visit.kind, live[name])
        for name, record in by_name.items()
        if name in live
    ]


def dangers_untold(branch: Branch, today: dt.date) -> list[Record]:
    """Records of two weeks with something dangerous whose report nobody has sent. One query.

    A report that was sent has its letter, so few rows are left in which to look for a danger.
    """
    name = Concat(Value("record:"), Cast("pk", CharField()))
    sent = Letter.objects.filter(kind=REPORT, about=OuterRef("name"))
    unsent = (
        Record.objects.of(branch)
        .completed()
        .filter(day__gt=today - TOLD_WITHIN)
        .annotate(name=name)
        .filter(~Exists(sent))
        .select_related("technician", "visit__owed_visit__agreement__home__customer")
    )
    return [record for record in unsent if dangers_found(record)]


def end_report_link(*, record: Record, now: dt.datetime) -> int:
    """The customer's link stops working; the next letter makes a new one."""
    return revoke_links(about=about(record), now=now, purpose=REPORT)
