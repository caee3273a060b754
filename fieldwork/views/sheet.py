"""The day on paper: every technician's for the office, her own for a technician."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

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
    sheets = sheets_of(request.branch, day, only)
    return {"nav": "day", "day": day, "branch": request.branch, "sheets": sheets}


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
