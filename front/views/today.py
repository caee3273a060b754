"""The screen that looks across rooms, and the branch one works in."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from front.today import gather
from shop.access import StaffRequest
from shop.models import Branch, Role
from weather.news import forecast_news


@require_GET
def today(request: StaffRequest) -> HttpResponse:
    """What needs a decision; a technician is sent to her own day."""
    if request.branch is None:
        return render(request, "front/no_branch.html", {"nav": "today"})
    day = timezone.localdate()
    if request.user.role == Role.TECHNICIAN:
        return redirect("fieldwork:my-day")
    context = {
        "nav": "today",
        "day": day,
        "today": gather(request.branch, day),
        "news": forecast_news(request.branch, timezone.now()),
    }
    return render(request, "front/today.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def branches(request: StaffRequest) -> HttpResponse:
    """Lets somebody of no one branch choose the one to work in."""
    if request.user.branch_id:
        raise Http404
    if request.method == "POST":
        chosen = get_object_or_404(Branch, slug=request.POST.get("branch", ""))
        request.session["branch"] = chosen.slug
        return redirect("front:today")
    return render(request, "front/branches.html", {"branches": Branch.objects.all()})
