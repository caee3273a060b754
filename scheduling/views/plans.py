"""The plan room: start a plan, watch it, compare plans, try what-ifs, apply one, undo it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from scheduling import comparing
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.actions.undo import undo_run
from scheduling.models import RunKind, RunState, Season, SeasonRun
from scheduling.outlooks import outlook_for
from scheduling.plan_forms import CompareForm, RunForm, WhatIfForm
from scheduling.plan_room import (
    curve_of,
    named,
    newest_applied,
    notes_on,
    plans_of,
    polls,
    progress_of,
    what_ifs_of,
)
from scheduling.proposal import difference
from shop.access import StaffRequest, office_only


def _season(request: StaffRequest, pk: int) -> Season:
    seasons = Season.objects.filter(branch=request.branch).select_related("branch")
    return get_object_or_404(seasons, pk=pk)


def run_part(run: SeasonRun) -> dict:
    """What the live part of a page needs: _run.html."""
    progress = progress_of(run)
    context = {"run": run, "p": progress, "curve": curve_of(run, progress)}
    context["polls"] = polls(run, timezone.now())
    if run.state == RunState.READY and run.kind == RunKind.PLAN:
        context["difference"] = difference(run)
    if run.kind == RunKind.WHAT_IF and run.state == RunState.READY:
        today = timezone.localdate()
        sides = comparing.variants_of(run, today, outlook_for(run.season.branch, timezone.now()))
        context |= {"sides": sides, "terms": comparing.term_rows(sides)}
    return context


@require_GET
@office_only
def room(request: StaffRequest, pk: int) -> HttpResponse:
    season, today = _season(request, pk), timezone.localdate()
    plans = plans_of(season)
    context = {
        "nav": "season",
        "season": season,
        "plans": plans,
        "newest": newest_applied(plans),
        "compare_form": CompareForm(None, runs=plans),
    }
    if request.htmx:
        return render(request, "scheduling/_plans.html", context)
    runs = season.runs.select_related("season__branch")
    run = runs.whole().under_way().first() or runs.plans().filter(state=RunState.READY).first()
    context |= {
        "notes": notes_on(season, today),
        "what_ifs": what_ifs_of(season),
        "run_form": RunForm(),
        "what_if_form": WhatIfForm(season=season, today=today),
        "run": None,
    }
    context |= run_part(run) if run else {}
    return render(request, "scheduling/plan_room.html", context)


@require_POST
@office_only
def try_change(request: StaffRequest, pk: int) -> HttpResponse:
    """Plan the season as it is and with something changed; nothing of it is put into the season."""
    season = _season(request, pk)
    form = WhatIfForm(request.POST, season=season, today=timezone.localdate())
    if not form.is_valid():
        messages.error(request, "Choose what to try, and for how long, from the lists.")
        return redirect("scheduling:plans", pk)
    try:
        run = ask_for_run(
            season=season,
            by=request.user,
            seconds=form.cleaned_data["seconds"],
            now=timezone.now(),
            change=form.change,
        )
    except RunRefused as refusal:
        messages.warning(request, str(refusal))
        return redirect("scheduling:plans", pk)
    return redirect("scheduling:run", run.pk)


@require_GET
@office_only
def compare(request: StaffRequest, pk: int) -> HttpResponse:
    """Two plans on two ribbons with the terms of their scores."""
    season = _season(request, pk)
    form = CompareForm(request.GET, runs=plans_of(season))
    outlook, today = outlook_for(season.branch, timezone.now()), timezone.localdate()
    sides = [_side(season, name, today, outlook) for name in form.chosen]
    context = {
        "nav": "season",
        "season": season,
        "compare_form": form,
        "sides": sides,
        "terms": comparing.term_rows(sides),
        "elsewhere": comparing.elsewhere(*sides),
    }
    return render(request, "scheduling/compare.html", context)


def _side(season: Season, name: str, today, outlook) -> comparing.Side:
    if name == comparing.NOW:
        return comparing.as_it_stands(season, today, outlook, timezone.now())
    run = season.runs.select_related("season__branch").get(pk=name)
    return comparing.side_of(run, f"Plan of {named(run)}", today, outlook)


@require_POST
@office_only
def undo(request: StaffRequest, pk: int) -> HttpResponse:
    runs = SeasonRun.objects.filter(season__branch=request.branch)
    run = get_object_or_404(runs, pk=pk)
    try:
        changed = undo_run(run=run, now=timezone.now(), by=request.user)
    except RunRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Undone: {changed} visits stand again where they stood.")
    return redirect("scheduling:plans", run.season_id)
