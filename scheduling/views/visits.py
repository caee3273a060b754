"""One visit: where it stands, and what the office may do with it."""

from __future__ import annotations

from copy import copy
from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.visits import (
    hold_visit,
    pencil_visit,
    promise_visit,
    unplace_visit,
    waive_visit,
)
from scheduling.day import why_here
from scheduling.forms import HoldForm, SlotForm, WaiveForm
from scheduling.models import Visit, VisitEvent
from scheduling.outlooks import outlook_for, source_on
from scheduling.reading import minutes_of_visit
from scheduling.states import NEXT, StepRefused
from shop.access import StaffRequest, office_only

REFUSALS = (SlotTaken, SlotRefused, StepRefused)


def _visit(request: StaffRequest, pk: int) -> Visit:
    visits = Visit.objects.filter(season__branch=request.branch).with_home()
    return get_object_or_404(
        visits.select_related("season__branch").prefetch_related(
            "trips__technician",
            Prefetch(
                "events", VisitEvent.objects.select_related("by", "technician", "was_technician")
            ),
        ),
        pk=pk,
    )


def _first_slot(visit: Visit) -> dict[str, object]:
    """What the slot form starts with: the present slot, or the season's first day at nine."""
    return _slot_shown(visit) | {"version": visit.version}


def _slot_shown(visit: Visit) -> dict[str, object]:
    owed = visit.owed_visit
    minutes = minutes_of_visit(visit)
    if visit.starts_at is None:
        day = max(visit.season.starts_on, owed.due_from)
        return {"day": day, "time": "09:00", "minutes": minutes}
    starts_at, ends_at = visit.slot
    local = timezone.localtime(starts_at, visit.season.branch.zone)
    length = int((ends_at - starts_at).total_seconds() // 60)
    return {
        "technician": visit.technician_id,
        "day": local.date(),
        "time": local.strftime("%H:%M"),
        "minutes": length,
    }


def _source(visit: Visit) -> str:
    """Whose word the warmth of its slot is; "" without a slot or a climate."""
    branch = visit.season.branch
    outlook = outlook_for(branch, timezone.now()) if visit.starts_at else None
    if outlook is None or visit.starts_at is None:
        return ""
    return source_on(outlook, timezone.localdate(visit.starts_at, branch.zone), branch.zone)


def _page(request: StaffRequest, visit: Visit, **tried: forms.Form) -> HttpResponse:
    """The visit's page; `tried`: a form that was refused, shown with what was typed."""
    context: dict[str, Any] = {
        "nav": "season",
        "visit": visit,
        "may": NEXT[visit.state],
        "why_here": why_here(visit, _source(visit)),
        "visit_day": timezone.localdate(visit.starts_at) if visit.starts_at else None,
        "slot_form": SlotForm(visit=visit, initial=_first_slot(visit)),
        "hold_form": HoldForm(),
        "waive_form": WaiveForm(),
    } | tried
    for name, act in (("slot_form", "place"), ("hold_form", "hold"), ("waive_form", "waive")):
        helper = context[name].helper = copy(context[name].helper)
        helper.form_action = reverse(f"scheduling:visit-{act}", args=[visit.pk])
    return render(request, "scheduling/visit.html", context, status=422 if tried else 200)


@require_GET
@office_only
def show(request: StaffRequest, pk: int) -> HttpResponse:
    return _page(request, _visit(request, pk))


@require_POST
@office_only
def place(request: StaffRequest, pk: int) -> HttpResponse:
    visit = _visit(request, pk)
    form = SlotForm(request.POST, visit=visit)
    if not form.is_valid() or form.is_overtaken():
        return _page(request, visit, slot_form=form)
    verb = promise_visit if form.cleaned_data["promised"] else pencil_visit
    try:
        verb(
            visit=visit,
            technician=form.cleaned_data["technician"],
            starts_at=form.starts_at,
            minutes=form.cleaned_data["minutes"],
            now=timezone.now(),
            by=request.user,
        )
    except REFUSALS as refusal:
        form.add_error(None, str(refusal))
        return _page(request, visit, slot_form=form)
    messages.success(request, f"{visit.owed_visit.home.customer}: {visit.get_state_display()}.")
    return redirect("scheduling:visit", pk)


@require_POST
@office_only
def hold(request: StaffRequest, pk: int) -> HttpResponse:
    visit = _visit(request, pk)
    form = HoldForm(request.POST)
    if not form.is_valid():
        return _page(request, visit, hold_form=form)
    try:
        hold_visit(visit=visit, now=timezone.now(), by=request.user, **form.cleaned_data)
    except REFUSALS as refusal:
        form.add_error(None, str(refusal))
        return _page(request, visit, hold_form=form)
    return redirect("scheduling:visit", pk)


@require_POST
@office_only
def waive(request: StaffRequest, pk: int) -> HttpResponse:
    visit = _visit(request, pk)
    form = WaiveForm(request.POST)
    if not form.is_valid():
        return _page(request, visit, waive_form=form)
    try:
        waive_visit(visit=visit, why=form.cleaned_data["why"], now=timezone.now(), by=request.user)
    except REFUSALS as refusal:  # the page of such a visit has no form to say it beside
        messages.error(request, str(refusal))
    return redirect("scheduling:visit", pk)


@require_POST
@office_only
def unplace(request: StaffRequest, pk: int) -> HttpResponse:
    visit = _visit(request, pk)
    try:
        unplace_visit(visit=visit, now=timezone.now(), by=request.user)
    except REFUSALS as refusal:
        messages.error(request, str(refusal))
    return redirect("scheduling:visit", pk)
