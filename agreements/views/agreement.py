"""The page of one agreement: what was promised, what is owed, its money, its history."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from agreements.accounts import account_of
from agreements.actions.changing import note_complaint
from agreements.actions.outbox import send_to_sign
from agreements.forms.changing import WhyForm
from agreements.models import Agreement
from agreements.paper import agreement_pdf
from agreements.promises import office_rules, payment_words, promised
from agreements.renewals import next_of, why_no_renewal
from agreements.views.found import agreement_of, back_to
from kit.web.once import once
from shop.access import StaffRequest, office_only


@require_GET
@office_only
def agreement(request: StaffRequest, pk: int) -> HttpResponse:
    shown, today = agreement_of(request, pk), timezone.localdate()
    account = account_of(shown)
    context = {
        "nav": "agreements",
        "agreement": shown,
        "today": today,
        "account": account,
        "due_now": account.due_now(today),
        "next_due": account.next_due(today),
        "systems": shown.systems.all(),
        "promised": promised(shown.version),
        "rules": office_rules(shown.version),
        "payment_words": payment_words(shown),
        # Rooms above hang their visits on it; they are read here by name, never imported.
        "owed_visits": shown.owed_visits.select_related("visit__technician"),
        "standing": _standing(shown),
        "charges": shown.charges.all(),
        "payments": shown.payments.select_related("recorded_by", "reversal"),
        "refunds": shown.refunds.select_related("recorded_by"),
        "events": shown.events.select_related("by"),
        "why_no_renewal": why_no_renewal(shown, today)
        or ("The next term is written down." if next_of(shown) else ""),
        "complaint_form": WhyForm(auto_id="complaint_%s"),
    }  # fmt: skip
    return render(request, "agreements/agreement.html", context)


def _standing(agreement: Agreement) -> list[object]:
    """Visits that keep a time although nothing is owed any more: the office calls them off."""
    if agreement.cancelled_on is None:
        return []
    let_go = agreement.owed_visits.filter(closed="waived").select_related("visit__technician")
    return [
        owed.visit
        for owed in let_go
        if getattr(owed, "visit", None) and owed.visit.starts_at  # type: ignore[attr-defined]
    ]


@require_GET
@office_only
def pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The agreement in plain words on paper, in the customer's language."""
    return agreement_pdf(agreement_of(request, pk))


@require_POST
@office_only
@once
def send(request: StaffRequest, pk: int) -> HttpResponse:
    """Send it to be read and signed."""
    shown = agreement_of(request, pk)
    if shown.signed_at or shown.cancelled_on:
        messages.error(request, "It is signed already, or has ended.")
    elif letter := send_to_sign(agreement=shown, now=timezone.now(), by=request.user):
        messages.success(request, f"On its way to {letter.to_email}.")
    else:
        messages.error(request, f"{shown.home.customer} has no e-mail address; print it instead.")
    return back_to(shown)


@require_POST
@office_only
@once
def complaint(request: StaffRequest, pk: int) -> HttpResponse:
    shown, form = agreement_of(request, pk), WhyForm(request.POST)
    if form.is_valid():
        note_complaint(agreement=shown, words=form.cleaned_data["why"], by=request.user)
        messages.success(request, "The complaint is noted.")
    else:
        messages.error(request, "Write what the customer was unhappy about.")
    return back_to(shown)
