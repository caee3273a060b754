"""Changing a running agreement, and ending it."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from agreements.actions.changing import change_plan, pause, plan_change_of, resume, transfer
from agreements.actions.ending import cancel, decline_renewal, quote_cancellation
from agreements.actions.events import AgreementRefused
from agreements.forms.agreeing import CallerForm
from agreements.forms.changing import (
    CancelForm,
    ChangePlanForm,
    EndForm,
    PauseForm,
    SoldForm,
    WhyForm,
)
from agreements.models import Agreement
from agreements.views.found import agreement_of, back_to, page_of, try_it, words_about
from customers.models import Customer
from kit.web.forms import REFUSED, form_screen, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only

form_methods = require_http_methods(["GET", "HEAD", "POST"])
MOST_FOUND = 8


@form_methods
@office_only
def to_another_plan(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose a plan and a day; see what it costs; then do it."""
    shown, today = agreement_of(request, pk), timezone.localdate()
    asked = posted(request) or request.GET
    form = ChangePlanForm(asked or None, agreement=shown, today=_inside(shown, today))
    change = None
    if form.is_valid():
        plan, on = form.cleaned_data["plan"], form.cleaned_data["on"]
        if not shown.starts_on < on <= shown.ends_on or shown.cancelled_on:
            form.add_error("on", _days_of(shown))
        elif request.method == "POST":
            new = try_it(
                form, lambda: change_plan(agreement=shown, plan=plan, on=on, by=request.user)
            )
            if new is not None:
                messages.success(request, f"{shown.home.customer} goes on with {new.plan}.")
                return back_to(new)
        else:
            change = plan_change_of(shown, plan, on)
    context = {"nav": "agreements", "agreement": shown, "form": form, "change": change}
    return render(request, "agreements/change_plan.html", context, status=_status(request, form))


@form_methods
@office_only
def cancellation(request: StaffRequest, pk: int) -> HttpResponse:
    """The first day without it, and how it would be settled; then the reason, and it is done."""
    shown, today = agreement_of(request, pk), timezone.localdate()
    asked = posted(request) or request.GET
    day_form = EndForm(asked or None, initial={"ends": _inside(shown, today)})
    ends = day_form.cleaned_data["ends"] if day_form.is_valid() else _inside(shown, today)
    if not shown.starts_on <= ends <= shown.ends_on:
        day_form.add_error("ends", _days_of(shown, first=shown.starts_on))
        ends = _inside(shown, today)
    form = CancelForm(posted(request), initial={"ends": ends})
    if request.method == "POST" and form.is_valid() and day_form.is_valid():
        why = form.cleaned_data["why"]
        if try_it(form, lambda: cancel(agreement=shown, ends=ends, why=why, by=request.user)):
            messages.success(request, "The agreement is cancelled.")
            return back_to(shown)
    context = {
        "nav": "agreements",
        "agreement": shown,
        "day_form": day_form,
        "form": form,
        "ends": ends,
        "quote": quote_cancellation(shown, ends),
        "owed": shown.owed_visits.still_owed().select_related("visit__technician"),
    }
    status = max(_status(request, form), _status(request, day_form))
    return render(request, "agreements/cancel.html", context, status=status)


def _status(request: StaffRequest, form) -> int:
    return REFUSED if form.is_bound and form.errors and request.method == "POST" else 200


def _inside(agreement: Agreement, day: dt.date) -> dt.date:
    """The day, or the nearest on which the agreement could change."""
    first = agreement.starts_on + dt.timedelta(days=1)
    return min(max(day, first), agreement.ends_on)


def _days_of(agreement: Agreement, first: dt.date | None = None) -> str:
    first = first or agreement.starts_on + dt.timedelta(days=1)
    return f"Choose a day from {first:%B %-d, %Y} to {agreement.ends_on:%B %-d, %Y}."


@form_methods
@office_only
def pausing(request: StaffRequest, pk: int) -> HttpResponse:
    shown = agreement_of(request, pk)
    form = PauseForm(posted(request))
    if form.is_valid():
        moved = try_it(form, lambda: pause(agreement=shown, by=request.user, **form.cleaned_data))
        if moved is not None:
            what = "1 due window has moved" if moved == 1 else f"{moved} due windows have moved"
            messages.success(request, f"It pauses; {what}. Look at visits that have a time.")
            return back_to(shown)
    return form_screen(
        request, form, nav="agreements", title="Pause", about=words_about(shown),
        back=page_of(shown), save_label="Pause it", template="agreements/pause.html",
    )  # fmt: skip


@require_POST
@office_only
def resuming(request: StaffRequest, pk: int) -> HttpResponse:
    shown = agreement_of(request, pk)
    try:
        resume(agreement=shown, by=request.user)
        messages.success(request, "It goes on; what is owed is due as before.")
    except AgreementRefused as refusal:
        messages.error(request, str(refusal))
    return back_to(shown)


@form_methods
@office_only
@once
def house_sold(request: StaffRequest, pk: int) -> HttpResponse:
    """To somebody on file, found by ?q=…, or to somebody new."""
    shown, today, asked = agreement_of(request, pk), timezone.localdate(), request.GET.get("q", "")
    found = _customers(shown, asked) if asked else None
    sold = SoldForm(posted(request), found=found, today=today)
    buyer = CallerForm(
        None if found is not None else posted(request),
        instance=Customer(branch=request.branch),
    )
    forms_ = (sold,) if found is not None else (buyer, sold)
    if request.method == "POST" and all(form.is_valid() for form in forms_):
        passed_on = try_it(sold, lambda: _pass_on(request, shown, sold, buyer))
        if passed_on is not None:
            messages.success(request, "The home and its agreements have a new owner.")
            return back_to(shown)
    return form_screen(
        request, *forms_, nav="agreements", title="House sold", about=words_about(shown),
        back=page_of(shown), save_label="Pass it on", template="agreements/house_sold.html",
        q=asked, found=found,
    )  # fmt: skip


def _customers(agreement: Agreement, words: str):
    """Those on file whose name holds the words."""
    mine = Customer.objects.of(agreement.home.customer.branch)
    keys = mine.exclude(pk=agreement.home.customer_id).filter(name__icontains=words.strip())
    return mine.filter(pk__in=list(keys.values_list("pk", flat=True)[:MOST_FOUND]))


def _pass_on(
    request: StaffRequest, agreement: Agreement, sold: SoldForm, buyer: CallerForm
) -> Agreement:
    to = sold.cleaned_data.get("to") or buyer.save(commit=False)
    on, now = sold.cleaned_data["on"], timezone.now()
    return transfer(agreement=agreement, to=to, on=on, now=now, by=request.user)


@form_methods
@office_only
def declining(request: StaffRequest, pk: int) -> HttpResponse:
    """The customer said that the next term is not wanted."""
    shown, today = agreement_of(request, pk), timezone.localdate()
    form = WhyForm(posted(request))
    if form.is_valid():
        why = form.cleaned_data["why"]
        if try_it(
            form, lambda: decline_renewal(agreement=shown, why=why, today=today, by=request.user)
        ):
            messages.success(request, "It ends with its term.")
            return redirect(page_of(shown))
    return form_screen(
        request, form, nav="agreements", title="Not renewed", about=words_about(shown),
        back=page_of(shown), save_label="Let it end",
    )  # fmt: skip
