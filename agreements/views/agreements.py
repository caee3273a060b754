"""The list of agreements, a new one, and the next term of one."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from agreements.actions import renew_agreement
from agreements.actions.agreeing import sell_agreement
from agreements.actions.events import AgreementRefused
from agreements.forms import ENDED, ENDING, AgreementForm, NarrowForm
from agreements.lists import narrowed
from agreements.models import Agreement
from agreements.renewals import why_no_renewal
from customers.models import Home
from kit.web.forms import form_screen, posted
from shop.access import StaffRequest, office_only

A_PAGE = 30


@require_GET
@office_only
def agreements(request: StaffRequest) -> HttpResponse:
    """The list, narrowed by plan, term and words."""
    today = timezone.localdate()
    form = NarrowForm(request.GET, branch=request.branch)
    found = narrowed(request.branch, form, today).prefetch_related("owed_visits__visit__technician")
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    to_renew = request.GET.get("show") in (ENDING, ENDED)
    context = {"nav": "agreements", "form": form, "page": page, "to_renew": to_renew}
    return render(request, "agreements/agreements.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
def new_agreement(request: StaffRequest, home_pk: int) -> HttpResponse:
    on_file = Home.objects.of(request.branch).select_related("customer__branch")
    home = get_object_or_404(on_file, pk=home_pk)
    form = AgreementForm(posted(request), home=home, today=timezone.localdate())
    if form.is_valid():
        try:
            agreement = sell_agreement(home=home, by=request.user, **form.cleaned_data)
        except AgreementRefused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{agreement.plan} agreed for {home.customer}.")
            return redirect("customers:home", home.pk)
    return form_screen(
        request,
        form,
        template="agreements/new.html",
        nav="agreements",
        title="New agreement",
        about=f"{home.customer}, {home.address}",
        back=reverse("customers:home", args=[home.pk]),
        save_label="Make the agreement",
    )


@require_POST
@office_only
def renew(request: StaffRequest, pk: int) -> HttpResponse:
    """Begin the next term. A second press finds the term that is already there.

    `back` in the form names the list that one came from; without it, the home comes next.
    """
    mine = Agreement.objects.of(request.branch).select_related("plan", "home__customer")
    agreement = get_object_or_404(mine, pk=pk)
    if why_not := why_no_renewal(agreement, timezone.localdate()):
        messages.error(request, why_not)
    else:
        renewed = renew_agreement(agreement=agreement, by=request.user)
        messages.success(
            request,
            f"{renewed.plan} of {renewed.home.customer} is renewed: "
            f"{renewed.starts_on:%B %-d, %Y} to {renewed.ends_on:%B %-d, %Y}.",
        )
    if request.POST.get("back") == "agreement":
        return redirect("agreements:agreement", agreement.pk)
    if request.POST.get("back") in (ENDING, ENDED):
        return redirect(reverse("agreements:list") + f"?show={request.POST['back']}")
    return redirect("customers:home", agreement.home_id)
