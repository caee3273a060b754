"""Technicians: what they can do, when they work, their days off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from kit.web.editing import saved
from kit.web.forms import OVERTAKEN
from kit.web.once import once
from letters.links import address_of
from scheduling.actions.technicians import add_days_off, remove_days_off, save_technician
from scheduling.feeds import feed_link, renew_feed_link
from scheduling.models import Technician
from scheduling.technician_forms import DaysOffForm, TechnicianForm
from shop.access import StaffRequest, office_only


def _technician(request: StaffRequest, pk: int) -> Technician:
    return get_object_or_404(Technician.objects.of(request.branch), pk=pk)


@require_GET
@office_only
def listing(request: StaffRequest) -> HttpResponse:
    technicians = Technician.objects.of(request.branch).prefetch_related("shifts", "days_off")
    return render(
        request, "scheduling/technicians.html", {"nav": "season", "technicians": technicians}
    )


@require_http_methods(["GET", "POST"])
@office_only
@once
def edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """`pk` None: a new technician."""
    technician = _technician(request, pk) if pk else Technician(branch=request.branch)
    form = TechnicianForm(request.POST or None, instance=technician, branch=request.branch)

    def save() -> None:
        save_technician(technician=form.save(commit=False), week=form.week)

    if form.is_valid() and saved(form, by=save):
        messages.success(request, f"{technician} is saved.")
        return redirect("scheduling:technicians")
    return _page(request, technician, form=form)


def _page(request, technician, form=None, off_form=None) -> HttpResponse:
    form = form or TechnicianForm(instance=technician, branch=request.branch)
    if technician.pk:
        form.helper.form_action = reverse("scheduling:technician", args=[technician.pk])
    context = {
        "nav": "season",
        "technician": technician if technician.pk else None,
        "feed": _feed_address(technician),
        "form": form,
        "forms": [form],
        "off_form": off_form or DaysOffForm(),
    }
    refused = form.errors or (off_form and off_form.errors)
    status = OVERTAKEN if form.differences else 422 if refused else 200
    return render(request, "scheduling/technician.html", context, status=status)


def _feed_address(technician: Technician) -> str:
    """Where a phone subscribes to her calendar; empty before she is saved."""
    if not technician.pk:
        return ""
    return address_of(feed_link(technician, timezone.now()), "scheduling:feed")


@require_POST
@office_only
def renew_feed(request: StaffRequest, pk: int) -> HttpResponse:
    """A new secret address, for a phone that was lost; the old one ends."""
    technician = _technician(request, pk)
    renew_feed_link(technician, timezone.now())
    messages.success(request, f"{technician} has a new calendar address; the old one has ended.")
    return redirect("scheduling:technician", pk)


@require_POST
@office_only
@once
def days_off(request: StaffRequest, pk: int) -> HttpResponse:
    technician = _technician(request, pk)
    form = DaysOffForm(request.POST)
    if not form.is_valid():
        return _page(request, technician, off_form=form)
    add_days_off(technician=technician, **form.cleaned_data)
    return redirect("scheduling:technician", pk)


@require_POST
@office_only
def days_on(request: StaffRequest, pk: int, absence: int) -> HttpResponse:
    remove_days_off(technician=_technician(request, pk), pk=absence)
    return redirect("scheduling:technician", pk)
