"""Every branch at once: the owner plans them together and watches the sum."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from scheduling.actions.branches import ask_for_all, cancel_all
from scheduling.models import Season, SeasonRun
from scheduling.plan_forms import RunForm
from scheduling.plan_room import summed
from shop.access import StaffRequest, owner_only


def _seasons() -> list[Season]:
    """The newest season of each branch that is not over."""
    newest: dict[int, Season] = {}
    today = timezone.localdate()
    running = Season.objects.filter(ends_on__gt=today).select_related("branch")
    for season in running.order_by("branch__name", "-starts_on"):
        newest.setdefault(season.branch_id, season)
    return list(newest.values())


@require_GET
@owner_only
def show(request: StaffRequest) -> HttpResponse:
    """The page asks for its own part every second while any branch is being planned."""
    seasons, newest = _seasons(), dict[int, SeasonRun]()
    runs = SeasonRun.objects.plans().filter(season__in=[season.pk for season in seasons])
    for run in runs.light().order_by("-asked_at"):
        newest.setdefault(run.season_id, run)
    context = {
        "nav": "season",
        "rows": [(season, newest.get(season.pk)) for season in seasons],
        "sum": summed(list(newest.values())),
        "under_way": any(run.under_way for run in newest.values()),
        "run_form": RunForm(),
    }
    part = "scheduling/_branches.html" if request.htmx else "scheduling/branches.html"
    return render(request, part, context)


@require_POST
@owner_only
def plan(request: StaffRequest) -> HttpResponse:
    form = RunForm(request.POST)
    seconds = form.cleaned_data["seconds"] if form.is_valid() else 15
    asked = ask_for_all(seasons=_seasons(), by=request.user, seconds=seconds, now=timezone.now())
    if not asked:
        messages.warning(request, "Every season is being planned already, or there is none.")
    return redirect("scheduling:branches")


@require_POST
@owner_only
def cancel(request: StaffRequest) -> HttpResponse:
    cancel_all(seasons=_seasons(), now=timezone.now())
    return redirect("scheduling:branches")
