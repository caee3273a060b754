"""The report of a visit: for the office and the technician who wrote it, and for the customer."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone, translation
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from fieldwork.announcements import REPORT, about, end_report_link, send_report
from fieldwork.models import Record
from fieldwork.printing import pdf_answer
from fieldwork.report import dangers_found, is_reported, report_of, reports
from letters.links import is_live, read_token
from letters.models import Letter, Link
from shop.access import StaffRequest, office_only, staff_only
from shop.models import Role


class ReportRequest(HttpRequest):
    """A request through the link of a report."""

    record: Record
    token: str


def _record(request: StaffRequest, pk: int) -> Record:
    """A record of the branch; a technician reaches her own only."""
    found = reports(request.branch)
    if request.user.role == Role.TECHNICIAN:
        found = found.filter(technician__user=request.user)
    return get_object_or_404(found, pk=pk)


def _by_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Lets in who has the report's live link, in the customer's language."""

    @login_not_required
    @never_cache
    @wraps(view)
    def guarded(request: ReportRequest, token: str) -> HttpResponse:
        record = _linked(token)
        if record is None:
            return render(request, "kit/no_link.html", status=404)
        request.record, request.token = record, token
        return _in_her_language(record, lambda: view(request))

    return guarded


def _linked(token: str) -> Record | None:
    """The record of a live link; none when the home has changed hands since."""
    link = read_token(token, purpose=REPORT)
    if link is None or link.customer is None or not is_live(link, timezone.now()):
        return None
    found = reports(link.customer.branch)
    return found.filter(
        pk=link.about.removeprefix("record:"),
        visit__owed_visit__agreement__home__customer=link.customer,
    ).first()


def _in_her_language(record: Record, act: Callable[[], HttpResponse]) -> HttpResponse:
    customer, branch = record.visit.owed_visit.home.customer, record.visit.season.branch
    with translation.override(customer.language), timezone.override(branch.zone):
        return act()


def _pdf(record: Record) -> HttpResponse:
    """The report as a file to open or keep."""
    context = {"report": report_of(record)}
    return pdf_answer("print/report.html", context, f"report-{record.day:%Y-%m-%d}")


@require_GET
@staff_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    """What the customer reads, and whether she was sent it."""
    record = _record(request, pk)
    context: dict[str, Any] = {
        "nav": "homes",
        "record": record,
        "home": record.visit.owed_visit.home,
        "report": report_of(record),
        "reported": is_reported(record),
        "danger": dangers_found(record),
        "letters": Letter.objects.filter(about=about(record), kind=REPORT),
        "linked": Link.objects.live(timezone.now()).filter(purpose=REPORT, about=about(record)),
        "removed": [*record.parts.removed(), *record.photos.removed()],
        "office": request.user.role != Role.TECHNICIAN,
    }
    return render(request, "fieldwork/report.html", context)


@require_GET
@never_cache
@staff_only
def pdf(request: StaffRequest, pk: int) -> HttpResponse:
    record = _record(request, pk)
    if not is_reported(record):
        raise Http404
    return _in_her_language(record, lambda: _pdf(record))


@require_POST
@office_only
def send(request: StaffRequest, pk: int) -> HttpResponse:
    record = _record(request, pk)
    letter = send_report(record=record, now=timezone.now())
    if letter is None:
        messages.error(request, "Not sent: there is no e-mail address, or nothing to report.")
    else:
        messages.success(request, f"The report goes to {letter.to_email}.")
    return redirect("fieldwork:report", pk)


@require_POST
@office_only
def end_link(request: StaffRequest, pk: int) -> HttpResponse:
    end_report_link(record=_record(request, pk), now=timezone.now())
    messages.success(request, "The customer's link to this report no longer works.")
    return redirect("fieldwork:report", pk)


@_by_link
@require_GET
def customer(request: ReportRequest) -> HttpResponse:
    """Opening it changes nothing: mail scanners open every link of a letter."""
    record = request.record
    context = {
        "report": report_of(record),
        "token": request.token,
        "sender": getattr(record.visit.season.branch, "sender", None),
    }
    return render(request, "fieldwork/customer_report.html", context)


@_by_link
@require_GET
def customer_pdf(request: ReportRequest) -> HttpResponse:
    return _pdf(request.record)
