"""Pages that a customer reaches from a letter: which letters to get."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.translation import gettext
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST

from customers.models import Customer
from letters.actions.stops import EVERYTHING, REMINDERS, choose_letters, stop_letters
from letters.links import is_live, read_token


def _customer(token: str) -> Customer | None:
    """Whose link it is; None: altered, cut short, ended, or its customer is no longer on file."""
    link = read_token(token, purpose="stop")
    return link.customer if link and is_live(link, timezone.now()) else None


def _no_such_link(request: HttpRequest) -> HttpResponse:
    """Most links that lead nowhere were cut in two by a mail program: say so kindly."""
    return render(request, "kit/no_link.html", status=404)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def stop(request: HttpRequest, token: str) -> HttpResponse:
    """Show the kinds and what is stopped; a GET changes nothing, for scanners open links."""
    customer = _customer(token)
    if customer is None:
        return _no_such_link(request)
    saved = request.method == "POST"
    if saved:
        choose_letters(
            customer=customer,
            wanted=set(request.POST.getlist("kind")) & set(REMINDERS),
            none_at_all="none" in request.POST,
            now=timezone.now(),
        )
    stopped = set(customer.stops.values_list("kind", flat=True))
    context = {
        "customer": customer,
        "sender": getattr(customer.branch, "sender", None),
        "kinds": [(name, name not in stopped) for name in REMINDERS],
        "none_at_all": EVERYTHING in stopped,
        "saved": saved,
    }
    with translation.override(customer.language):
        return render(request, "letters/stop.html", context)


@login_not_required
@csrf_exempt
@require_POST
def one_click(request: HttpRequest, token: str) -> HttpResponse:
    """RFC 8058: the mail program posts here without a cookie; it takes effect at once."""
    customer = _customer(token)
    if customer is None:
        return _no_such_link(request)
    kind = request.GET.get("kind", EVERYTHING)
    stop_letters(
        customer=customer, kind=kind if kind in REMINDERS else EVERYTHING, now=timezone.now()
    )
    with translation.override(customer.language):
        words = gettext("You will not get these letters any more.")
    return HttpResponse(words, content_type="text/plain; charset=utf-8")
