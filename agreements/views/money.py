"""Payments, refunds, and the list of what is due."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from agreements.accounts import account_of
from agreements.actions.outbox import write_receipt
from agreements.actions.paying import record_payment, refund, reverse_payment
from agreements.debts import TO_GO_BACK, debts_of
from agreements.forms.money import PaymentForm, RefundForm, ReverseForm
from agreements.models import Agreement, Payment
from agreements.money.schedule import BUCKETS
from agreements.views.found import agreement_of, back_to, page_of, try_it, words_about
from kit.web.forms import form_screen, posted
from shop.access import StaffRequest, office_only

form_methods = require_http_methods(["GET", "HEAD", "POST"])
A_PAGE = 30


@require_GET
@office_only
def due(request: StaffRequest) -> HttpResponse:
    """What is due or overdue, by age, and what is to go back."""
    show = request.GET.get("show", "")
    debts = debts_of(request.branch, timezone.localdate())
    shown = debts.rows if show not in debts.columns else debts.in_column(show)
    context = {
        "nav": "agreements",
        "debts": debts,
        "show": show if show in debts.columns else "",
        "tabs": _tabs(debts, show),
        "page": Paginator(shown, A_PAGE).get_page(request.GET.get("page")),
        "tab": "due",
        "today": timezone.localdate(),
    }
    return render(request, "agreements/due.html", context)


def _tabs(debts, show: str) -> list[dict[str, object]]:
    labels = {"": "All", TO_GO_BACK: "To go back", BUCKETS[0]: "Due today"}
    names = ["", *debts.columns]
    current = show if show in debts.columns else ""
    return [
        {
            "label": labels.get(name, f"{name} days"),
            "url": f"?show={name}" if name else "?",
            "current": name == current,
            "count": len(debts.in_column(name)) if name else len(debts.rows),
        }
        for name in names
    ]


@form_methods
@office_only
def payment(request: StaffRequest, pk: int) -> HttpResponse:
    shown, today = agreement_of(request, pk), timezone.localdate()
    account = account_of(shown)
    amount = account.due_now(today) or (account.dues[0].amount if account.dues else None)
    form = PaymentForm(posted(request), today=today, initial={"amount": amount})
    if form.is_valid() and (paid := _record(request, shown, form)):
        messages.success(request, f"${paid.amount:,.2f} recorded.")
        return back_to(shown)
    return form_screen(
        request, form, nav="agreements", title="Record a payment", about=words_about(shown),
        back=page_of(shown), save_label="Record it",
    )  # fmt: skip


def _record(request: StaffRequest, agreement: Agreement, form: PaymentForm) -> Payment | None:
    facts = dict(form.cleaned_data)
    receipt = facts.pop("receipt")
    paid = try_it(form, lambda: record_payment(agreement=agreement, by=request.user, **facts))
    if paid is not None and receipt and not write_receipt(payment=paid, now=timezone.now()):
        messages.warning(request, f"{agreement.home.customer} has no e-mail address.")
    return paid


@form_methods
@office_only
def reversal(request: StaffRequest, pk: int) -> HttpResponse:
    """Take a payment back by a counter entry."""
    mine = Payment.objects.of(request.branch).select_related("agreement__home__customer")
    found = get_object_or_404(mine.select_related("agreement__plan", "agreement__version"), pk=pk)
    shown, form = found.agreement, ReverseForm(posted(request))
    if form.is_valid():
        why, today = form.cleaned_data["why"], timezone.localdate()
        if try_it(form, lambda: reverse_payment(payment=found, why=why, on=today, by=request.user)):
            messages.success(request, "The payment is taken back; both entries stay on file.")
            return back_to(shown)
    return form_screen(
        request, form, nav="agreements",
        title=f"Take back ${found.amount:,.2f} of {found.on:%B %-d, %Y}",
        about=words_about(shown), back=page_of(shown), save_label="Take it back",
    )  # fmt: skip


@form_methods
@office_only
def refunding(request: StaffRequest, pk: int) -> HttpResponse:
    """Money that goes back: what the settlement says, or less than was paid."""
    shown, today = agreement_of(request, pk), timezone.localdate()
    account = account_of(shown)
    initial = {"amount": account.to_go_back or None, "why": shown.why_ended}
    form = RefundForm(posted(request), today=today, paid=account.net_paid, initial=initial)
    if form.is_valid() and (
        given := try_it(form, lambda: refund(agreement=shown, by=request.user, **form.cleaned_data))
    ):
        messages.success(request, f"${given.amount:,.2f} went back.")
        return back_to(shown)
    return form_screen(
        request, form, nav="agreements", title="Record a refund", about=words_about(shown),
        back=page_of(shown), save_label="Record it",
    )  # fmt: skip
