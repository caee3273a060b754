"""How much more fits: the quick answer at once, the planner's in the background."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from books.actions.capacity import CapacityRefused, ask_for_capacity
from books.capacity_page import CapacityPage, answers_of
from books.capacity_reading import capacity_of
from books.forms import CapacityForm
from books.models import CapacityRun
from books.views.season import season_of
from kit.web import asked
from scheduling.models import Season
from scheduling.reading import SeasonCannotBePlanned
from shop.access import StaffRequest, office_only


def _run(request: StaffRequest, pk: int) -> CapacityRun:
    runs = CapacityRun.objects.filter(season__branch=request.branch)
    return get_object_or_404(runs.select_related("season__branch"), pk=pk)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    season = season_of(request, pk)
    context = {
        "nav": "books",
        "tab": "capacity",
        "season": season,
        "others": Season.objects.filter(branch=request.branch).exclude(pk=pk)[:6],
        "form": CapacityForm(),
        "branch": request.branch,
    }
    try:
        capacity = capacity_of(season, timezone.now())
    except SeasonCannotBePlanned as refusal:
        return render(request, "books/capacity.html", context | {"refusal": str(refusal)})
    if capacity is not None:
        context |= {"capacity": capacity, "page": CapacityPage(capacity)}
    run = season.capacity_runs.first()
    if run:
        context |= _run_context(run)
    return render(request, "books/capacity.html", context)


@require_POST
@office_only
def ask(request: StaffRequest, pk: int) -> HttpResponse:
    """Let the planner answer."""
    season, form = season_of(request, pk), CapacityForm(request.POST)
    seconds = form.cleaned_data["seconds"] if form.is_valid() else 3.0
    try:
        run = ask_for_capacity(season=season, by=request.user, seconds=seconds, now=timezone.now())
    except CapacityRefused as refusal:
        messages.warning(request, str(refusal))
        other = season.capacity_runs.under_way().first()
        return redirect("books:capacity-run", other.pk) if other else redirect("books:capacity", pk)
    return redirect("books:capacity-run", run.pk)


@require_GET
@office_only
def run(request: StaffRequest, pk: int) -> HttpResponse:
    """The page asks for its own part every second while the run is under way."""
    found = _run(request, pk)
    context = {"nav": "books", "tab": "capacity", "season": found.season, **_run_context(found)}
    part = "books/capacity_run.html#run" if request.htmx else "books/capacity_run.html"
    return render(request, part, context)


@require_POST
@office_only
def stop(request: StaffRequest, pk: int) -> HttpResponse:
    found = _run(request, pk)
    asked.stop(run=found, now=timezone.now())
    messages.info(request, "The planner was stopped; the season stands as before.")
    return redirect("books:capacity", found.season_id)


def _run_context(run: CapacityRun) -> dict[str, object]:
    context: dict[str, object] = {"run": run}
    if run.state == asked.AskedState.READY:
        context["answers"] = answers_of(run, _first_day(run))
    return context


def _first_day(run: CapacityRun) -> dt.date:
    """The first day that the run planned."""
    asked_on = run.asked_at.astimezone(run.season.branch.zone).date()
    return max(run.season.starts_on, asked_on + dt.timedelta(days=1))
