"""What agreements earn, month by month, and how it is booked."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from agreements.actions.bookkeeping import keep_books_by
from agreements.forms.bookkeeping import BookkeepingForm
from agreements.models import bookkeeping_of
from agreements.postings import revenue_by_month
from kit.web.editing import saved
from kit.web.forms import form_screen, posted
from kit.web.period import PeriodForm, period_of
from shop.access import StaffRequest, office_only


@require_GET
@office_only
def revenue(request: StaffRequest) -> HttpResponse:
    """Billed, earned and deferred by month, and the journal of a period as a file."""
    first, last = period_of(request.GET, timezone.localdate())
    months = revenue_by_month(request.branch, last)
    context = {
        "nav": "agreements",
        "tab": "revenue",
        "form": PeriodForm(request.GET),
        "months": [month for month in months if not first or month.booked_on >= first],
        "books": bookkeeping_of(request.branch),
    }
    return render(request, "agreements/revenue.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
def bookkeeping(request: StaffRequest) -> HttpResponse:
    form = BookkeepingForm(posted(request), instance=bookkeeping_of(request.branch))
    if form.is_valid() and saved(
        form, by=lambda: keep_books_by(bookkeeping=form.save(commit=False))
    ):
        messages.success(request, "Saved. Files made from now on follow it.")
        return redirect("agreements:revenue")
    return form_screen(
        request, form, nav="agreements", title="How agreements are booked",
        about=f"{request.branch.name}. A computation for your accountant, no advice.",
        back=reverse("agreements:revenue"),
    )  # fmt: skip
