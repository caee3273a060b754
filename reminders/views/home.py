"""The home's own page: its year, and buttons for what only a homeowner does."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from customers.models import Filter
from fieldwork.announcements import reports_of_home
from reminders.access import HomeRequest, home_only
from reminders.actions.told import tell_cover, tell_filter_changed
from reminders.forms import CoverForm
from reminders.year import year_of_home


@home_only
@require_GET
def show(request: HomeRequest) -> HttpResponse:
    """Opening it changes nothing: mail scanners open every link of a letter."""
    context = {
        "home": request.home,
        "token": request.token,
        "sender": request.sender,
        "year": year_of_home(request.home, timezone.localdate()),
        "reports": reports_of_home(request.home, timezone.now()),
    }
    return render(request, "reminders/home.html", context)


@home_only
@require_POST
def filter_changed(request: HomeRequest, pk: int) -> HttpResponse:
    filters = Filter.objects.select_related("system__home")
    filter_ = get_object_or_404(filters, pk=pk, system__home=request.home)
    tell_filter_changed(filter_=filter_, on=timezone.localdate(), now=timezone.now())
    messages.success(request, _("Thank you. We have noted that the filter was changed today."))
    return redirect("reminders:home", request.token)


@home_only
@require_POST
def cover(request: HomeRequest) -> HttpResponse:
    form = CoverForm(request.POST)
    if form.is_valid():
        tell_cover(
            home=request.home, on=timezone.localdate(), now=timezone.now(), **form.cleaned_data
        )
        messages.success(request, _("Thank you. We have noted it."))
    return redirect("reminders:home", request.token)
