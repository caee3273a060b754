"""For the office, with the customer on the line: a filter is changed, the cover is off or on."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from customers.models import Home
from kit.web.forms import REFUSED, posted
from kit.web.once import once
from reminders.actions.told import tell_cover, tell_filter_changed
from reminders.forms import ToldForm
from reminders.models import HomeEvent, ToldBy
from shop.access import StaffRequest, office_only

SHOWN_EVENTS = 10


@require_http_methods(["GET", "POST"])
@office_only
@once
def told(request: StaffRequest, pk: int) -> HttpResponse:
    """A button for each thing that the customer may have done, and the day it was done."""
    home = get_object_or_404(Home.objects.of(request.branch).select_related("customer"), pk=pk)
    today = timezone.localdate()
    form = ToldForm(posted(request), home=home, today=today, initial={"on": today})
    if form.is_valid():
        event = _write_down(home, form, timezone.now())
        done = event.get_kind_display().lower()
        messages.success(request, f"Noted: {done} on {event.on:%B %-d}.")
        return redirect("reminders:told", pk)
    events = home.events.select_related("filter")[:SHOWN_EVENTS]
    context = {"nav": "homes", "home": home, "form": form, "events": events}
    status = REFUSED if form.is_bound else 200
    return render(request, "reminders/told.html", context, status=status)


def _write_down(home: Home, form: ToldForm, now: dt.datetime) -> HomeEvent:
    done, on = form.cleaned_data["done"], form.cleaned_data["on"]
    if done in form.filters:
        filter_ = form.filters[done]
        return tell_filter_changed(filter_=filter_, on=on, now=now, by=ToldBy.OFFICE)
    return tell_cover(home=home, kind=done, on=on, now=now, by=ToldBy.OFFICE)
