"""The office's outbox: what was and will be sent, and the letters of which nobody knows."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from letters.actions.letterhead import pause_letters, resume_letters
from letters.actions.stops import clear_bad_address, see_bad_address
from letters.actions.write import (
    believe_unsure_letter,
    retry_failed_letter,
    send_unsure_letter,
    set_failed_letter_aside,
)
from letters.contents import FactMissing
from letters.forms import NarrowForm
from letters.lists import narrowed
from letters.models import BadAddress, Letter, Sender
from letters.render import preview_of
from letters.wording import Wording
from shop.access import StaffRequest, office_only

A_PAGE = 40


@require_GET
@office_only
def outbox(request: StaffRequest) -> HttpResponse:
    """Every letter of the branch, narrowed by state, kind and customer."""
    form = NarrowForm(request.GET)
    found = narrowed(request.branch, form).select_related("customer")
    context = {
        "nav": "letters",
        "form": form,
        "page": Paginator(found, A_PAGE).get_page(request.GET.get("page")),
        "sender": Sender.objects.filter(branch=request.branch).first(),
        "bad_addresses": BadAddress.objects.of(request.branch).unseen().count(),
    }
    return render(request, "letters/outbox.html", context)


@require_GET
@office_only
def letter(request: StaffRequest, pk: int) -> HttpResponse:
    """One letter as it was sent, or as it would be sent now."""
    found = _letter(request, pk)
    wording, trouble = _wording(found)
    context = {"nav": "letters", "letter": found, "wording": wording, "unfit": trouble}
    return render(request, "letters/letter.html", context)


@require_GET
@office_only
def letter_html(request: StaffRequest, pk: int) -> HttpResponse:
    """The same as a mail program shows it, a page of its own."""
    wording, trouble = _wording(_letter(request, pk))
    if wording is None:
        return HttpResponse(trouble, content_type="text/plain", status=409)
    return HttpResponse(wording.html)


def _letter(request: StaffRequest, pk: int) -> Letter:
    mine = Letter.objects.of(request.branch).select_related("customer__branch__sender")
    return get_object_or_404(mine, pk=pk)


def _wording(found: Letter) -> tuple[Wording | None, str]:
    """What the customer read or would read; None and why not, when it cannot be worded."""
    if found.body:
        return Wording(found.subject, found.body, found.html), ""
    try:
        return preview_of(found), ""
    except Sender.DoesNotExist:
        return None, "The branch has no letterhead yet."
    except (FactMissing, ValueError) as trouble:
        return None, f"It cannot be worded: {trouble}."


# What each button of a letter does, and what is said when it is done.
_ACTS = {
    "send": (send_unsure_letter, "It goes out with the next letters."),
    "arrived": (believe_unsure_letter, "Noted as arrived."),
    "retry": (retry_failed_letter, "It is tried again now."),
    "aside": (set_failed_letter_aside, "Set aside. Nothing more is sent of it."),
}


@require_POST
@office_only
def act(request: StaffRequest, pk: int, act: str) -> HttpResponse:
    """The office decides about an unsure letter, or one that was given up."""
    verb, words = _ACTS[act]
    if verb(letter=_letter(request, pk), now=timezone.now()):
        messages.success(request, words)
    else:
        messages.warning(request, "Somebody has decided about this letter meanwhile.")
    return redirect("letters:letter", pk)


@require_POST
@office_only
def pause(request: StaffRequest) -> HttpResponse:
    """The one switch: `pause` in the form stops all letters, its absence lets them go again."""
    if "pause" in request.POST:
        pause_letters(branch=request.branch)
        messages.success(request, "Paused. Letters are kept and nothing is sent.")
    else:
        resume_letters(branch=request.branch)
        messages.success(request, "Letters go out again. What has become too late is withdrawn.")
    return redirect("letters:outbox")


@require_GET
@office_only
def bad_addresses(request: StaffRequest) -> HttpResponse:
    """Addresses that nothing is sent to any more, and whose they are."""
    found = BadAddress.objects.of(request.branch).with_customers(request.branch)
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "letters/bad_addresses.html", {"nav": "letters", "page": page})


@require_POST
@office_only
def bad_address(request: StaffRequest, pk: int, act: str) -> HttpResponse:
    """Seen, or found to work after all."""
    address = get_object_or_404(BadAddress.objects.of(request.branch), pk=pk)
    if act == "seen":
        see_bad_address(address=address)
    else:
        clear_bad_address(address=address)
        messages.success(request, f"Letters go to {address.email} again.")
    return redirect("letters:bad-addresses")
