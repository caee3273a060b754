"""The customer's page of an agreement: read, sign, say yes or no to the next term. No account.

Opening it changes nothing, because mail scanners open every link of a letter.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from agreements.accounts import account_of
from agreements.actions.agreeing import renew_agreement, renewal_price, renewal_version
from agreements.actions.ending import decline_renewal
from agreements.actions.events import AgreementRefused
from agreements.actions.outbox import LINK
from agreements.actions.signing import accept_agreement
from agreements.forms.changing import SignForm, WhyForm
from agreements.models import Agreement
from agreements.paper import agreement_pdf, facts_of
from agreements.renewals import asks_about_renewal, next_of
from letters.links import is_live, read_token


class OwnRequest(HttpRequest):
    """A request through the link of an agreement."""

    agreement: Agreement
    token: str


def _by_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Lets in who has the live link, in the customer's language and on the branch's clock.

    A link to a home that was sold leads nowhere: it was the former owner's.
    """

    @login_not_required
    @never_cache
    @wraps(view)
    def guarded(request: OwnRequest, token: str) -> HttpResponse:
        agreement = _agreement(token)
        if agreement is None:
            return render(request, "kit/no_link.html", status=404)
        request.agreement, request.token = agreement, token
        customer = agreement.home.customer
        with translation.override(customer.language), timezone.override(customer.branch.zone):
            return view(request)

    return guarded


def _agreement(token: str) -> Agreement | None:
    link = read_token(token, purpose=LINK)
    if link is None or not is_live(link, timezone.now()):
        return None
    on_file = Agreement.objects.select_related(
        "plan", "version", "home__customer__branch__sender"
    ).filter(home__customer=link.customer)
    return on_file.filter(pk=link.about.removeprefix("agreement:")).first()


@_by_link
@require_GET
def show(request: OwnRequest) -> HttpResponse:
    return _page(request)


def _page(request: OwnRequest, trouble: str = "", status: int = 200) -> HttpResponse:
    agreement, today = request.agreement, timezone.localdate()
    account, following = account_of(agreement), next_of(agreement)
    version = renewal_version(agreement)
    context = {
        **facts_of(agreement),
        "token": request.token,
        "trouble": trouble,
        "account": account,
        "due_now": account.due_now(today),
        "next_due": account.next_due(today),
        "following": following,
        "asks": asks_about_renewal(agreement, following, today),
        "next_term": agreement.next_term(),
        "next_price": renewal_price(agreement, version),
    }
    return render(request, "agreements/yours.html", context, status=status)


@_by_link
@require_POST
def sign(request: OwnRequest) -> HttpResponse:
    form = SignForm(request.POST)
    if not form.is_valid():
        return _page(request, trouble=_("Please write your name to sign."), status=422)
    try:
        accept_agreement(agreement=request.agreement, now=timezone.now(), **form.cleaned_data)
        messages.success(request, _("Thank you. The agreement is signed."))
    except AgreementRefused:
        return _page(request, trouble=_("This agreement has ended."), status=409)
    return redirect("agreements:yours", request.token)


@_by_link
@require_POST
def say_yes(request: OwnRequest) -> HttpResponse:
    """The next term, please. A second press finds it there."""
    agreement, today = request.agreement, timezone.localdate()
    following = next_of(agreement)
    if following is None and not asks_about_renewal(agreement, following, today):
        return _page(request, trouble=_("Please call us about a next term."), status=409)
    renew_agreement(agreement=agreement)
    messages.success(request, _("Thank you. Your agreement goes on."))
    return redirect("agreements:yours", request.token)


@_by_link
@require_POST
def say_no(request: OwnRequest) -> HttpResponse:
    form = WhyForm({"why": request.POST.get("why") or "-"})
    if not form.is_valid():
        return _page(request, trouble=_("Please use fewer words."), status=422)
    try:
        decline_renewal(
            agreement=request.agreement, why=form.cleaned_data["why"],
            today=timezone.localdate(), by=None,
        )  # fmt: skip
    except AgreementRefused:
        words = _("The next term has begun. Please call us, and we will end it.")
        return _page(request, trouble=words, status=409)
    messages.success(request, _("We have noted it. Your agreement ends with its term."))
    return redirect("agreements:yours", request.token)


@_by_link
@require_GET
def paper(request: OwnRequest) -> HttpResponse:
    """The same on paper."""
    return agreement_pdf(request.agreement)
