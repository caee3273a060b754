"""For the office: what would go out on a day, and the homes that do not start."""

from __future__ import annotations

from collections import Counter

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from kit.web.forms import REFUSED
from reminders.actions.told import take_up
from reminders.coming import letters_on
from reminders.forms import DayForm
from reminders.models import NoStart
from reminders.reading import NoClimate
from shop.access import StaffRequest, office_only

A_PAGE = 50


@require_GET
@office_only
def coming(request: StaffRequest) -> HttpResponse:
    """The letters of a day, today's when none is asked for."""
    today = timezone.localdate()
    form = DayForm(request.GET or {"day": today}, today=today)
    context = {"nav": "homes", "form": form, "today": today}
    if not form.is_valid():
        return render(request, "reminders/coming.html", context, status=REFUSED)
    day = form.cleaned_data["day"]
    try:
        letters = list(letters_on(day, request.branch, today))
    except NoClimate as lack:
        return render(request, "reminders/coming.html", context | {"lack": lack})
    kinds = Counter(letter.title for letter in letters)
    page = Paginator(letters, A_PAGE).get_page(request.GET.get("page"))
    context |= {"day": day, "page": page, "kinds": kinds.most_common()}
    return render(request, "reminders/coming.html", context)


@require_GET
@office_only
def no_starts(request: StaffRequest) -> HttpResponse:
    """Those who wait for a call first, then all the others, the newest first."""
    of_branch = NoStart.objects.of(request.branch)
    rows = of_branch.select_related("home__customer", "seen_by")
    waiting = list(rows.to_call().order_by("asked_at"))
    others = rows.exclude(pk__in=[row.pk for row in waiting])
    context = {
        "nav": "homes",
        "waiting": waiting,
        "page": Paginator(others, A_PAGE).get_page(request.GET.get("page")),
        "trips_saved": of_branch.trips_saved().count(),
    }
    return render(request, "reminders/no_starts.html", context)


@require_POST
@office_only
def seen(request: StaffRequest, pk: int) -> HttpResponse:
    no_start = get_object_or_404(NoStart.objects.of(request.branch), pk=pk)
    if take_up(no_start=no_start, by=request.user, now=timezone.now()):
        messages.success(request, f"{no_start.home.customer} is off the list.")
    return redirect("reminders:no-starts")
