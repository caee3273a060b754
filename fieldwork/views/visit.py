"""One visit: its check list with what is typed so far, and the verdicts on it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_http_methods

from fieldwork.access import TechnicianRequest, technician_only
from fieldwork.actions.check_lists import current_version
from fieldwork.actions.phone import Sender, take_event
from fieldwork.day import UNSETTLED, conflicts_of, entries_of, visits_of
from fieldwork.events import Envelope
from fieldwork.judgements import judge_visit
from fieldwork.models import EventState, Recommendation, Record, Replaced
from fieldwork.procedures import PROCEDURES
from fieldwork.reading import list_kind_of, systems_of
from fieldwork.views.day import PAGE_PHONE
from fieldwork.views.told import tell
from fieldwork.visit_page import VisitPage, visit_page
from scheduling.models import Visit

TYPED = "typed-"


@gzip_page
@require_http_methods(["GET", "HEAD", "POST"])
@technician_only
def show(request: TechnicianRequest, day: dt.date, pk: int) -> HttpResponse:
    visit = _visit(request, day, pk)
    if request.method == "POST":
        return _take_form(request, visit, day)
    page = _page(request, visit, day)
    home = visit.owed_visit.home
    recommended = Recommendation.objects.filter(
        record__visit__owed_visit__agreement__home=home, state__in=UNSETTLED
    ).select_related("record")
    context = {
        "nav": "my-day",
        "day": day,
        "is_today": day == timezone.localdate(),
        "now": timezone.now(),
        "page": page,
        "visit": visit,
        "home": home,
        "record": page.record,
        "procedures": PROCEDURES.values(),
        "recommended": recommended,
        "conflicts": [e for e in conflicts_of(request.technician, day) if e.visit_id == pk],
        "replaced": Replaced.choices,
        "certificate": _certificate(request, page.record),
    }
    return render(request, "fieldwork/visit.html", context)


@require_GET
@technician_only
def verdicts(request: TechnicianRequest, day: dt.date, pk: int) -> HttpResponse:
    """What the readings sent so far mean; asked for by the page whenever something was sent."""
    visit = _visit(request, day, pk)
    record = Record.objects.filter(visit=visit, day=day).first()
    # Of the page's parts the verdicts alone: what is asked, and was read last time, stands there.
    page = {"visit": visit, "judged": judge_visit(visit, record, entries_of(record))}
    return render(request, "fieldwork/_verdicts.html", {"page": page})


def _visit(request: TechnicianRequest, day: dt.date, pk: int) -> Visit:
    """A visit of the technician's own day; 404 otherwise."""
    found = visits_of(request.technician, day).filter(pk=pk).first()
    if found is None:
        raise Http404
    return found


def _page(request: TechnicianRequest, visit: Visit, day: dt.date) -> VisitPage:
    record = Record.objects.select_related("version").filter(visit=visit, day=day).first()
    version = record.version if record else current_version(
        branch=request.branch,
        kind=list_kind_of(visit, systems_of(visit)),
        now=timezone.now(),
    )  # fmt: skip
    return visit_page(visit, day, record, version, entries_of(record))


def _certificate(request: TechnicianRequest, record: Record | None) -> str:
    """The technician's section 608 number, as it was written the last time."""
    if record and record.certificate_608:
        return record.certificate_608
    earlier = Record.objects.by(request.technician).exclude(certificate_608="")
    return earlier.values_list("certificate_608", flat=True).last() or ""


def _take_form(request: TechnicianRequest, visit: Visit, day: dt.date) -> HttpResponse:
    """Readings sent where no script runs: each field that was changed is an event of its own."""
    now = timezone.now()
    sender = Sender(request.technician, request.user, PAGE_PHONE)
    answers = [
        take_event(
            envelope=Envelope(uuid4(), 0, "entry", visit.pk, day, now, payload),
            sender=sender,
            phone_now=now,
            now=now,
        )
        for payload in _changed(request, _page(request, visit, day))
    ]
    bad = [answer for answer in answers if answer.state != EventState.APPLIED]
    for answer in bad:
        tell(request, answer.state, answer.words)
    if answers and not bad:
        tell(request, EventState.APPLIED, "")
    return redirect("fieldwork:visit", day, visit.pk)


def _changed(request: TechnicianRequest, page: VisitPage) -> Iterator[dict[str, Any]]:
    """The readings of the form that differ from what stands there."""
    for part in page.systems:
        for line in part.lines():
            name = f"{TYPED}{part.system.pk}-{line.item.key}"
            typed = request.POST.get(name, line.typed).strip()
            if typed != line.typed:
                yield {
                    "system": part.system.pk,
                    "field": line.item.key,
                    "typed": typed,
                    "note": request.POST.get(f"note-{name}", ""),
                    "sure": True,
                    "seen": line.entry.pk if line.entry else None,
                }
