"""Who looked at gate codes and notes of homes, for the owner."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from customers.forms.looks import LooksForm
from customers.models import HomeLook
from shop.access import StaffRequest, owner_only

A_PAGE = 50


@require_GET
@owner_only
@vary_on_headers("HX-Request")
def looks(request: StaffRequest) -> HttpResponse:
    """The list, newest first, narrowed as one chooses."""
    form = LooksForm(request.GET, branch=request.branch)
    found = HomeLook.objects.of(request.branch).select_related("home__customer", "by")
    if form.is_valid():
        found = found.filter(**form.narrows()).matching(form.cleaned_data["q"])
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "customers/looks.html", {"nav": "homes", "form": form, "page": page})
