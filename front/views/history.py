"""What happened at one home: who changed which agreement, price or promise, and when."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from customers.models import Home
from front.history import history_of
from shop.access import StaffRequest, office_only

A_PAGE, ON_THE_HOMES_PAGE = 50, 8


@require_GET
@office_only
@vary_on_headers("HX-Request")
def history(request: StaffRequest, pk: int) -> HttpResponse:
    """The whole list; HTMX asks for its newest lines, for the page of the home."""
    home = get_object_or_404(Home.objects.of(request.branch).select_related("customer"), pk=pk)
    lines = history_of(home)
    page = Paginator(lines, A_PAGE).get_page(request.GET.get("page"))
    context = {"nav": "homes", "home": home, "page": page, "lines": page.object_list}
    if request.htmx:
        context["lines"] = lines[:ON_THE_HOMES_PAGE]
        return render(request, "front/_history.html", context)
    return render(request, "front/history.html", context)
