"""The watch: what the newest outlook asks for, agreed to or refused with one press."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import Count, Q
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from kit import words
from scheduling.actions.repairs import RepairRefused, agree_all, agree_step, refuse_step
from scheduling.actions.watch import propose_repairs
from scheduling.models import RepairStep, Season, State, StepState, Visit
from scheduling.outlooks import outlook_for
from scheduling.pace import pace_of
from scheduling.reading import SeasonCannotBePlanned
from scheduling.signs import heat_line
from scheduling.watching import LISTED, watch_page
from shop.access import StaffRequest, office_only
from weather.news import forecast_news


def _season(request: StaffRequest) -> Season | None:
    """The season with most to decide, else the one under way or next, else the newest."""
    asked = Count("repairs__steps", filter=Q(repairs__steps__state=StepState.PROPOSED))
    over = Q(ends_on__lt=timezone.localdate())
    seasons = Season.objects.filter(branch=request.branch).select_related("branch")
    return seasons.annotate(asked=asked, over=over).order_by("-asked", "over", "starts_on").first()


def _step(request: StaffRequest, pk: int) -> RepairStep:
    return get_object_or_404(RepairStep.objects.of(request.branch).with_home(), pk=pk)


@require_GET
@office_only
def show(request: StaffRequest) -> HttpResponse:
    season = _season(request)
    if season is None:
        return render(request, "scheduling/no_season.html", {"nav": "season"})
    page = watch_page(season)
    context = {
        "nav": "season",
        "season": season,
        "page": page,
        "held": page.held[:LISTED],
        "held_count": len(page.held),
        "branch": request.branch,
        "news": forecast_news(request.branch, timezone.now()),
    }
    today, outlook = timezone.localdate(), outlook_for(request.branch, timezone.now())
    if outlook is not None:
        zone = request.branch.zone
        context["heat"] = heat_line(outlook, pace_of(season, today), today, zone)
    return render(request, "scheduling/watch.html", context)


@require_POST
@office_only
def look(request: StaffRequest) -> HttpResponse:
    """Look at the weather now instead of at the next quarter of an hour."""
    season = _season(request)
    if season is None:
        raise Http404
    try:
        new = propose_repairs(season=season, now=timezone.now())
    except SeasonCannotBePlanned as trouble:
        messages.warning(request, str(trouble))
    else:
        messages.success(request, "New proposals below." if new else "Looked again: nothing new.")
    return redirect("scheduling:watch")


@require_POST
@office_only
def agree(request: StaffRequest, pk: int) -> HttpResponse:
    step = _step(request, pk)
    try:
        decided = agree_step(step=step, by=request.user, now=timezone.now())
    except RepairRefused as refusal:
        messages.warning(request, str(refusal))
        return redirect("scheduling:watch")
    customer = step.visit.owed_visit.home.customer
    if decided.state == StepState.AGREED:
        messages.success(request, f"{customer}: {_what_came_of(decided)}")
    else:
        messages.warning(request, f"{customer}: overtaken. {decided.ended_why}")
    return redirect("scheduling:watch")


def _what_came_of(step: RepairStep) -> str:
    """What was done, and how the customer hears of it."""
    visit = Visit.objects.with_home().get(pk=step.visit_id)
    done = step.get_what_display().lower()
    if visit.starts_at:
        local = timezone.localtime(visit.starts_at)
        done += f", {words.day_name(local)}, {words.clock(local)}"
    if visit.state == State.PENCILLED:
        return f"{done}. Pencilled; it is offered when the day comes near."
    if not visit.owed_visit.home.customer.email:
        return f"{done}. No e-mail address is on file: the telephone list has the call."
    return f"{done}. A letter goes out."


@require_POST
@office_only
def agree_to_all(request: StaffRequest) -> HttpResponse:
    season = _season(request)
    if season is None:
        raise Http404
    done, overtaken = agree_all(season=season, by=request.user, now=timezone.now())
    messages.success(request, f"Agreed to {words.counted(len(done), 'proposal')}.")
    if overtaken:
        names = ", ".join(str(step.visit.owed_visit.home.customer) for step in overtaken)
        messages.warning(request, f"Overtaken, and left as they stand: {names}.")
    return redirect("scheduling:watch")


@require_POST
@office_only
def refuse(request: StaffRequest, pk: int) -> HttpResponse:
    """Leave the visit where it stands; it is asked about again only when it turns colder."""
    step = _step(request, pk)
    try:
        refuse_step(step=step, by=request.user, now=timezone.now())
    except RepairRefused as refusal:
        messages.warning(request, str(refusal))
    else:
        messages.success(request, f"{step.visit.owed_visit.home.customer}: left as it stands.")
    return redirect("scheduling:watch")
