"""The season: its ribbon, its figures, what is held; opening one; starting a plan."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from agreements.models import VisitKind
from scheduling.actions.runs import RunRefused, ask_for_run
from scheduling.actions.seasons import gather_visits, open_season
from scheduling.cutting import areas_for
from scheduling.figures import season_figures
from scheduling.forms import FilterForm, SeasonForm
from scheduling.models import RunState, Season, SeasonRun, State, Visit
from scheduling.models.run import UNDER_WAY
from scheduling.models.visit import VisitQuerySet
from scheduling.outlooks import outlook_for, source_words
from scheduling.plan_forms import RunForm
from scheduling.ribbon import season_ribbon
from scheduling.watching import proposal_counts
from shop.access import StaffRequest, office_only

LISTED = 100  # held and unplaced visits shown; the rest is counted


def _season(request: StaffRequest, pk: int) -> Season:
    seasons = Season.objects.filter(branch=request.branch).select_related("branch")
    return get_object_or_404(seasons, pk=pk)


@require_GET
@office_only
def newest(request: StaffRequest) -> HttpResponse:
    """The newest season, or an empty state that leads to opening one."""
    season = Season.objects.filter(branch=request.branch).first()
    if season is None:
        return render(request, "scheduling/no_season.html", {"nav": "season"})
    return redirect("scheduling:season", season.pk)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    """The filters replace its part "ribbon" alone."""
    season = _season(request, pk)
    filters = FilterForm(request.GET, branch=request.branch, kinds=VisitKind.choices)
    context = {"nav": "season", "season": season, "filters": filters}
    context |= _narrowed(season, filters.narrow(Visit.objects.for_season(season)))
    if request.htmx:
        return render(request, "scheduling/season.html#ribbon", context)
    runs = season.runs.plans().filter(state__in=[*UNDER_WAY, RunState.READY]).light()
    context |= {
        "others": Season.objects.filter(branch=request.branch).exclude(pk=pk)[:6],
        "figures": season_figures(season),
        "run": runs.first(),
        "proposals": proposal_counts(request.branch),
        "run_form": RunForm(),
    }
    return render(request, "scheduling/season.html", context)


def _narrowed(season: Season, visits: VisitQuerySet) -> dict[str, object]:
    """What the filters narrow: the lists, and the ribbon where the weather is known."""
    waiting = visits.filter(state__in=[State.HELD, State.OWED]).order_by()
    counts = dict(waiting.values_list("state").annotate(count=Count("pk")))
    shown: dict[str, object] = {}
    for state in (State.HELD, State.OWED):
        first = visits.filter(state=state).with_home().order_by("pk")[:LISTED]
        shown[state.value] = list(first) if state in counts else []
        shown[f"{state.value}_count"] = counts.get(state, 0)
    outlook = outlook_for(season.branch, timezone.now())
    if outlook is not None:
        shown["ribbon"] = season_ribbon(season, visits, timezone.localdate(), outlook)
        shown["source"] = source_words(outlook, season.branch.zone)
    return shown


@require_http_methods(["GET", "POST"])
@office_only
def new(request: StaffRequest) -> HttpResponse:
    form = SeasonForm(request.POST or None, branch=request.branch)
    if form.is_valid():
        try:
            season = open_season(branch=request.branch, **form.cleaned_data)
        except ValidationError as refusal:
            form.add_error(None, refusal) if not hasattr(refusal, "error_dict") else [
                form.add_error(field, words) for field, words in refusal.error_dict.items()
            ]
        else:
            messages.success(request, f"{season}: {season.visits.count()} visits are owed.")
            return redirect("scheduling:season", season.pk)
    context = {"nav": "season", "form": form}
    return render(request, "scheduling/new.html", context, status=422 if form.errors else 200)


@require_POST
@office_only
def gather(request: StaffRequest, pk: int) -> HttpResponse:
    """Put visits that became owed since into the season."""
    new_ones = gather_visits(season=_season(request, pk))
    messages.success(request, f"{new_ones} more visits are owed in this season.")
    return redirect("scheduling:season", pk)


@require_POST
@office_only
def plan(request: StaffRequest, pk: int) -> HttpResponse:
    """The one button: write down that a plan is wanted, wake a worker, show its progress."""
    season = _season(request, pk)
    form = RunForm(request.POST)
    valid = form.is_valid()
    seconds = form.cleaned_data["seconds"] if valid else 15
    try:
        run = ask_for_run(
            season=season,
            by=request.user,
            seconds=seconds,
            now=timezone.now(),
            areas=areas_for(season.visits.open().count()),
            promises_move=valid and form.cleaned_data["promises_move"],
        )
    except RunRefused as refusal:
        messages.warning(request, str(refusal))
        other = SeasonRun.objects.filter(season=season).plans().under_way().first()
        return redirect("scheduling:run", other.pk) if other else redirect("scheduling:season", pk)
    return redirect("scheduling:run", run.pk)
