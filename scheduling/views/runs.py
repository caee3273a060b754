"""A season run: its progress, the difference it would make, stopping and applying it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from scheduling.actions.apply import apply_run
from scheduling.actions.runs import RunRefused, cancel_run, discard_run, finish_run
from scheduling.models import SeasonRun
from scheduling.views.plans import run_part
from shop.access import StaffRequest, office_only

# What the list of plans listens for: a run has ended, so there is one more to look at.
ENDED = "plan-ended"


def _run(request: StaffRequest, pk: int) -> SeasonRun:
    runs = SeasonRun.objects.filter(season__branch=request.branch)
    return get_object_or_404(runs.select_related("season__branch"), pk=pk)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    """The page asks for its own part every second while the run is under way."""
    run = _run(request, pk)
    context = {"nav": "season", "season": run.season} | run_part(run)
    if not request.htmx:
        return render(request, "scheduling/run.html", context)
    response = render(request, "scheduling/_run.html", context)
    if not run.under_way:
        response["HX-Trigger"] = ENDED
    return response


@require_POST
@office_only
def cancel(request: StaffRequest, pk: int) -> HttpResponse:
    cancel_run(run=_run(request, pk), now=timezone.now())
    return redirect("scheduling:run", pk)


@require_POST
@office_only
def finish(request: StaffRequest, pk: int) -> HttpResponse:
    finish_run(run=_run(request, pk))
    return redirect("scheduling:run", pk)


@require_POST
@office_only
def discard(request: StaffRequest, pk: int) -> HttpResponse:
    run = _run(request, pk)
    discard_run(run=run)
    messages.info(request, "The plan was discarded; the season stands as before.")
    return redirect("scheduling:season", run.season_id)


@require_POST
@office_only
def apply(request: StaffRequest, pk: int) -> HttpResponse:
    run = _run(request, pk)
    try:
        changed = apply_run(run=run, now=timezone.now(), by=request.user)
    except RunRefused as refusal:
        messages.error(request, str(refusal))
        return redirect("scheduling:run", pk)
    messages.success(request, f"The plan is in the season: {changed} visits changed.")
    return redirect("scheduling:season", run.season_id)
