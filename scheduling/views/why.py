"""Why a visit stands where it stands, and what other times would cost."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from scheduling.explaining import explain
from scheduling.models import Visit
from scheduling.reading import SeasonCannotBePlanned
from shop.access import StaffRequest, office_only


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    visits = Visit.objects.filter(season__branch=request.branch).with_home()
    visit = get_object_or_404(visits.select_related("season__branch"), pk=pk)
    context = {"nav": "season", "visit": visit, "why": None, "trouble": ""}
    try:
        context["why"] = explain(visit, timezone.now())
    except SeasonCannotBePlanned as trouble:
        context["trouble"] = str(trouble)
    return render(request, "scheduling/why.html", context)
