"""How long drives took, and at what pace the branch plans them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from books.driving_reading import timed_drives
from books.forms import PaceForm
from books.pictures.drives import draw_drives
from books.views.season import season_of
from books.worth.paces import LEAST_TO_ADVISE, by_area, by_distance, by_minutes, pace_of
from scheduling.models import Season
from shop.access import StaffRequest, office_only
from shop.actions import plan_drives_at

MOST_AREAS = 12
NEAR_ENOUGH = 3  # per cent: no reason to change anything


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    season = season_of(request, pk)
    drives, planned = timed_drives(season), season.branch.driving_percent
    middles = [(x, p.drives, p.low, p.percent, p.high) for x, p in by_minutes(drives)]
    pace = pace_of(drives)
    context = {
        "nav": "books",
        "tab": "driving",
        "season": season,
        "others": Season.objects.filter(branch=request.branch).exclude(pk=pk)[:6],
        "pace": pace,
        "least": LEAST_TO_ADVISE,
        "planned": planned,
        "advised": bool(pace and pace.says_enough and abs(pace.percent - planned) >= NEAR_ENOUGH),
        "tables": [("distance", by_distance(drives)), ("ZIP area", by_area(drives, MOST_AREAS))],
        "picture": draw_drives(middles, planned),
    }
    return render(request, "books/driving.html", context)


@require_POST
@office_only
def plan_at(request: StaffRequest, pk: int) -> HttpResponse:
    """Plan with what the phones have timed."""
    season, form = season_of(request, pk), PaceForm(request.POST)
    if not form.is_valid():
        messages.error(request, form.words)
    elif plan_drives_at(branch=season.branch, **form.cleaned_data):
        percent = form.cleaned_data["percent"]
        messages.success(
            request,
            f"Drives count {percent} per cent of the map's from now on. Slots that stand already "
            "stay; the next plan goes by it.",
        )
    else:
        messages.warning(request, "Somebody else has changed the pace meanwhile; nothing was done.")
    return redirect("books:driving", pk)
