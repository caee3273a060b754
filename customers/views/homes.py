"""Finding homes, and the page of one."""

from __future__ import annotations

import datetime as dt

from django.apps import apps
from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from customers.actions import note_looks
from customers.forms import SearchForm
from customers.lists import narrowed_homes
from customers.models import Home, Screen, System
from customers.models.home import HomeQuerySet
from shop.access import StaffRequest, office_only
from shop.models import Branch

A_PAGE = 30
LAST_LOOKS = 5


@require_GET
@office_only
@vary_on_headers("HX-Request")
def homes(request: StaffRequest) -> HttpResponse:
    """The list, narrowed as one types. HTMX asks for its part alone."""
    form = SearchForm(request.GET)
    found = _narrowed(request.branch, form)
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    template = "customers/homes.html" + ("#found" if request.htmx else "")
    return render(request, template, {"nav": "homes", "form": form, "page": page})


def _narrowed(branch: Branch, form: SearchForm) -> HomeQuerySet:
    # Rooms above hang their rows on a home; they are read here by name, never imported.
    owed = apps.get_model("agreements", "OwedVisit")._default_manager.filter(closed="")
    still_owed = Prefetch("agreements__owed_visits", owed.select_related("visit__technician"))
    return narrowed_homes(branch, form).prefetch_related("systems", "agreements__plan", still_owed)


@require_GET
@office_only
def home(request: StaffRequest, pk: int) -> HttpResponse:
    """Everything on file about a home, and where its owed visits stand."""
    shown = get_object_or_404(
        Home.objects.of(request.branch).select_related("customer").prefetch_related(
            Prefetch("systems", System.objects.prefetch_related("filters")),
            "agreements__plan",
            "agreements__systems",
            "agreements__owed_visits__visit__technician",
        ),
        pk=pk,
    )  # fmt: skip
    note_looks(homes=[shown], by=request.user, screen=Screen.HOME, now=timezone.now())
    context = {
        "nav": "homes",
        "home": shown,
        "renewable": _renewable(shown, timezone.localdate()),
        "looks": shown.looks.select_related("by")[:LAST_LOOKS],
    }
    return render(request, "customers/home.html", context)


def _renewable(home: Home, today: dt.date) -> set[int]:
    """The agreements for which a button begins the next term: begun, and the last of their kind."""
    latest = {(term.plan_id, term.anchor_on): term for term in home.agreements.all()}
    return {
        term.pk
        for term in latest.values()
        if term.cancelled_on is None and term.starts_on <= today <= term.next_term().ends_on
    }
