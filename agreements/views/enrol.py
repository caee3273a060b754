"""Selling an agreement while the customer is on the line, on one page."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from agreements.actions.agreeing import first_term, price_of_first_term, sell_agreement
from agreements.actions.events import AgreementRefused
from agreements.actions.outbox import send_to_sign
from agreements.actions.plans import version_on
from agreements.actions.signing import accept_agreement
from agreements.forms.agreeing import CallerForm, CallersHomeForm, EnrolForm
from agreements.models import Agreement
from agreements.money.schedule import payments
from agreements.promises import promised
from customers.actions import open_home, save_system
from customers.models import Customer, Home, System
from customers.search import searched
from kit.web.forms import REFUSED, posted
from kit.web.once import once
from shop.access import StaffRequest, office_only

MOST_FOUND = 8
NEW = "new"


@require_http_methods(["GET", "HEAD", "POST"])
@office_only
@once
def enrol(request: StaffRequest) -> HttpResponse:
    """?q= finds somebody on file, ?home= is chosen, ?new enters somebody; then the rest."""
    home, new = _home(request), NEW in request.GET
    forms_ = _forms(request, home, new)
    if request.method == "POST" and forms_ and all(f.is_valid() for f in forms_.values()):
        try:
            agreement = _sell(request, home, forms_)
        except AgreementRefused as refusal:
            forms_["terms"].add_error(None, str(refusal))
        else:
            _tell(request, agreement, forms_["terms"])
            return redirect("agreements:agreement", agreement.pk)
    asked = request.GET.get("q", "")
    context = {
        "nav": "agreements", "tab": "enrol", "home": home, "new": new, "forms": forms_, "q": asked,
        "found": _found(request, asked) if asked and not home else None,
        "has_plan": request.branch.plans.filter(active=True).exists(),
        **_priced(forms_.get("terms")),
    }  # fmt: skip
    template = "agreements/enrol.html" + ("#found" if request.htmx else "")
    refused = request.method == "POST"
    return render(request, template, context, status=REFUSED if refused else 200)


@require_POST
@office_only
def price(request: StaffRequest) -> HttpResponse:
    """What the form comes to as it stands, for the page to show while one speaks."""
    form = EnrolForm(
        request.POST, branch=request.branch, home=_home(request), today=timezone.localdate()
    )
    return render(request, "agreements/_price.html", _priced(form))


def _home(request: StaffRequest) -> Home | None:
    asked = request.GET.get("home", "")
    if not asked:
        return None
    mine = Home.objects.of(request.branch).select_related("customer__branch")
    return get_object_or_404(mine, pk=int(asked) if asked.isdecimal() else 0)


def _found(request: StaffRequest, asked: str) -> list[Home]:
    homes = Home.objects.of(request.branch).matching(searched(asked)).select_related("customer")
    return list(homes.prefetch_related("agreements__plan")[:MOST_FOUND])


def _forms(request: StaffRequest, home: Home | None, new: bool) -> dict:
    """The forms of the page: none until it is known for whom."""
    if not home and not new:
        return {}
    sent = posted(request)
    terms = EnrolForm(sent, branch=request.branch, home=home, today=timezone.localdate())
    if home:
        return {"terms": terms}
    caller = CallerForm(sent, instance=Customer(branch=request.branch))
    return {"caller": caller, "home": CallersHomeForm(sent), "terms": terms}


@transaction.atomic
def _sell(request: StaffRequest, home: Home | None, forms_: dict) -> Agreement:
    """Customer, home, systems and agreement, or nothing of them."""
    facts = dict(forms_["terms"].cleaned_data)
    if home is None:
        home = open_home(
            customer=forms_["caller"].save(commit=False),
            home=forms_["home"].save(commit=False),
            point=forms_["home"].cleaned_data["point"],
        )
    systems = [*facts.pop("systems", ())]
    systems += [save_system(system=System(home=home, kind=k)) for k in facts.pop("new_systems")]
    signed_by, _ = facts.pop("signed_by"), facts.pop("send")
    agreement = sell_agreement(home=home, systems=systems, by=request.user, **facts)
    if signed_by:
        accept_agreement(
            agreement=agreement, name=signed_by, renews=facts["renews"], now=timezone.now(),
            by=request.user,
        )  # fmt: skip
    return agreement


def _tell(request: StaffRequest, agreement: Agreement, terms: EnrolForm) -> None:
    messages.success(request, f"{agreement.plan} agreed for {agreement.home.customer}.")
    if terms.cleaned_data["send"] and not terms.cleaned_data["signed_by"]:
        letter = send_to_sign(agreement=agreement, now=timezone.now(), by=request.user)
        if letter is None:
            messages.warning(request, "No e-mail address is on file: print it to be signed.")


def _priced(form: EnrolForm | None) -> dict:
    """The price so far, how it came about, and when it is due; empty while a fact is missing."""
    if form is None or not form.is_bound:
        return {}
    form.is_valid()
    facts = form.cleaned_data
    plan, starts_on = facts.get("plan"), facts.get("starts_on")
    if not plan or not starts_on or not form.covers or "ends_on" in form.errors:
        return {"missing": True}
    version = version_on(plan=plan, day=starts_on)
    whole = first_term(version, starts_on, facts.get("ends_on"))
    computed = price_of_first_term(version, form.covers, whole, starts_on)
    asked = computed.amount if facts.get("price") is None else facts["price"]
    return {
        "computed": computed,
        "asked": asked,
        "own_price": facts.get("price") is not None,
        "covers": form.covers,
        "last_day": whole.ends_on,
        "dues": payments(asked, starts_on, whole.ends_on, facts.get("rhythm") or "yearly"),
        "promised": promised(version),
        "trouble": form.non_field_errors(),
    }
