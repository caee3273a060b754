"""The work at one home: for the office, and for the technician who is about to drive there."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from customers.models import Home
from fieldwork.trends import work_at
from shop.access import StaffRequest, staff_only


@require_GET
@staff_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    homes = Home.objects.of(request.branch).select_related("customer")
    home = get_object_or_404(homes.prefetch_related("systems"), pk=pk)
    context = {"nav": "homes", "home": home, "work": work_at(home)}
    return render(request, "fieldwork/home_work.html", context)
