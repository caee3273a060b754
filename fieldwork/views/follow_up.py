"""Recommended repairs, until each is settled: a list for the office, not a way to sell."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from fieldwork.actions.follow_up import NEXT, FollowUpRefused, follow_up
from fieldwork.announcements import dangers_untold
from fieldwork.models import Recommendation, RecommendationState
from shop.access import StaffRequest, office_only
from shop.models import Branch

PAGE = 50


def _of(branch: Branch) -> QuerySet[Recommendation]:
    return Recommendation.objects.filter(record__visit__season__branch=branch)


@require_GET
@office_only
def show(request: StaffRequest) -> HttpResponse:
    state = request.GET.get("state", RecommendationState.OPEN)
    if state not in RecommendationState.values:
        state = RecommendationState.OPEN
    rows = (
        _of(request.branch)
        .filter(state=state)
        .select_related(
            "system", "record__technician", "record__visit__owed_visit__agreement__home__customer"
        )
    )
    page = Paginator(rows, PAGE).get_page(request.GET.get("page"))
    context: dict[str, Any] = {
        "nav": "homes",
        "state": RecommendationState(state),
        "page": page,
        "rows": [(row, NEXT[row.state]) for row in page],
        "tabs": _tabs(request.branch, state),
        "dangers": dangers_untold(request.branch, timezone.localdate()),
    }
    return render(request, "fieldwork/follow_up.html", context)


def _tabs(branch: Branch, shown: str) -> list[dict[str, Any]]:
    counted = _of(branch).order_by().values_list("state").annotate(Count("pk"))
    counts = dict(counted)
    here = reverse("fieldwork:follow-up")
    return [
        {
            "label": state.label,
            "url": f"{here}?state={state}",
            "current": state == shown,
            "count": counts.get(state, 0),
        }
        for state in RecommendationState
    ]


@require_POST
@office_only
def settle(request: StaffRequest, pk: int) -> HttpResponse:
    """`was`: the state that the office saw when it pressed the button."""
    row = get_object_or_404(_of(request.branch), pk=pk)
    if request.POST.get("was") in RecommendationState.values:
        row.state = request.POST["was"]
    was = row.state
    try:
        state = follow_up(
            recommendation=row, state=request.POST.get("state", ""), now=timezone.now()
        )
        messages.success(request, f"{row.words}: {state.label.lower()}.")
    except FollowUpRefused as refused:
        messages.error(request, str(refused))
    return redirect(f"{reverse('fieldwork:follow-up')}?state={was}")
