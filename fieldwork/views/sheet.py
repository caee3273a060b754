"""The day on paper: every technician's for the office, her own for a technician."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from customers.actions import note_looks
from customers.models import Screen
from fieldwork.printing import pdf_answer
from fieldwork.sheet import sheets_of
from shop.access import StaffRequest, staff_only
from shop.models import Role


def _context(request: StaffRequest, day: dt.date) -> dict[str, Any]:
    only = None
    if request.user.role == Role.TECHNICIAN:
        only = getattr(request.user, "technician", None)
        if only is None:
            raise Http404
    sheets, now = sheets_of(request.branch, day, only), timezone.now()
    # The office sees notes always, a technician on the day itself.
    with_notes = only is None or day == timezone.localdate(now)
    if with_notes:
        homes = [stop.visit.owed_visit.home for sheet in sheets for stop in sheet.stops]
        note_looks(homes=homes, by=request.user, screen=Screen.SHEET, now=now)
    return {
        "nav": "day",
        "day": day,
        "branch": request.branch,
        "sheets": sheets,
        "with_notes": with_notes,
    }


@require_GET
@never_cache
@staff_only
def show(request: StaffRequest, day: dt.date) -> HttpResponse:
    return render(request, "fieldwork/sheet.html", _context(request, day))


@require_GET
@never_cache
@staff_only
def pdf(request: StaffRequest, day: dt.date) -> HttpResponse:
    return pdf_answer("print/day_sheet.html", _context(request, day), f"day-{day}")
