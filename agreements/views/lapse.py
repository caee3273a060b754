"""Who may not renew, and why."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from agreements.outlooks import AHEAD_DAYS, may_lapse
from shop.access import StaffRequest, office_only

A_PAGE = 30


@require_GET
@office_only
def lapse(request: StaffRequest) -> HttpResponse:
    found = may_lapse(request.branch, timezone.localdate())
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    context = {"nav": "agreements", "tab": "lapse", "page": page, "ahead": AHEAD_DAYS}
    return render(request, "agreements/lapse.html", context)
