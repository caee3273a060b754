"""One day: the technicians' hours beside the temperature curve."""

from __future__ import annotations

import datetime as dt

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from scheduling.day import day_picture, pages_of, roster, stops_of
from scheduling.outlooks import outlook_for, source_on
from scheduling.signs import no_climbing_on
from shop.access import StaffRequest, staff_only
from shop.models import Role

ONE_DAY = dt.timedelta(days=1)


@require_GET
@staff_only
def today(request: StaffRequest) -> HttpResponse:
    """A day picked in the form, else today."""
    try:
        day = dt.date.fromisoformat(request.GET.get("day", ""))
    except ValueError:
        day = timezone.localdate()
    return redirect("scheduling:day", day)


@require_GET
@staff_only
def show(request: StaffRequest, day: dt.date) -> HttpResponse:
    """Office and owner see everyone's day, a technician only her own; `?show=all` on one page."""
    only = None
    if request.user.role == Role.TECHNICIAN:
        only = getattr(request.user, "technician", None)
        if only is None:
            raise Http404
    pages = pages_of(request.branch, only)
    if request.GET.get("show") == "all":
        pages.per_page = max(pages.count, 1)
    page = pages.get_page(request.GET.get("page"))
    routes = stops_of(request.branch, day, [pk for pk, _ in page])
    outlook = outlook_for(request.branch, timezone.now())
    context = {
        "nav": "day",
        "day": day,
        "previous_day": day - ONE_DAY,
        "next_day": day + ONE_DAY,
        "routes": routes,
        "links": only is None,
        "page": page,
        "roster": roster(request.branch, day, pages) if page.has_other_pages() else [],
        "branch": request.branch,
    }
    if outlook is not None:
        context["picture"] = day_picture(request.branch, day, routes, outlook, links=only is None)
        context["no_climbing"] = list(no_climbing_on(outlook, day, request.branch.zone))
        context["source"] = source_on(outlook, day, request.branch.zone)
    return render(request, "scheduling/day.html", context)
