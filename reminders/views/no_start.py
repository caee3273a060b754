"""It does not start: the emergency first, then the safe checks one after the other.

How far one has come stands in the address, so that nothing is kept and Back works; only the end
is sent.
"""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from kit.web.forms import REFUSED, posted
from reminders.access import HomeRequest, home_only
from reminders.actions.told import report_no_start
from reminders.forms import CheckForm, OutcomeForm
from reminders.models import Outcome
from reminders.no_start import CALL, CHECKS, EMERGENCY, STOP_AND_CALL


@home_only
@require_GET
def emergency(request: HomeRequest) -> HttpResponse:
    """Gas or carbon monoxide: no form here, only what to do and whom to call."""
    return render(request, "reminders/no_start.html", _context(request))


@home_only
@require_http_methods(["GET", "HEAD", "POST"])
def check(request: HomeRequest) -> HttpResponse:
    """The next check; after the last one, or where somebody must stop, the call."""
    form = OutcomeForm(posted(request))
    if form.is_valid():
        return _end(request, form)
    so_far = CheckForm(request.GET or request.POST)
    at, tried = (
        (so_far.cleaned_data["at"] or 0, so_far.cleaned_data["tried"])
        if so_far.is_valid()
        else (0, [])
    )
    context = _context(request) | {
        "form": form,
        "at": at,
        "number": at + 1,
        "tried": tried,
        "check": CHECKS[at] if at < len(CHECKS) else None,
        "last": at == len(CHECKS) - 1,
        "count": len(CHECKS),
        "stop_now": "stop" in request.GET or form.is_bound,
    }
    return render(
        request, "reminders/no_start_check.html", context, status=REFUSED if form.is_bound else 200
    )


def _end(request: HomeRequest, form: OutcomeForm) -> HttpResponse:
    told = form.cleaned_data
    at = told["at"] or 0
    report_no_start(
        home=request.home,
        outcome=told["outcome"],
        tried=told["tried"],
        ended_at_check=CHECKS[at].id if at < len(CHECKS) else "",
        words=told["words"],
        now=timezone.now(),
    )
    return redirect("reminders:no-start-ended", request.token, told["outcome"])


@home_only
@require_GET
def ended(request: HomeRequest, outcome: str) -> HttpResponse:
    if outcome not in Outcome:
        raise Http404
    context = _context(request) | {"solved": outcome == Outcome.SOLVED}
    return render(request, "reminders/no_start_ended.html", context)


def _context(request: HomeRequest) -> dict[str, object]:
    return {
        "home": request.home,
        "token": request.token,
        "sender": request.sender,
        "emergency": EMERGENCY,
        "stop_and_call": STOP_AND_CALL,
        "call": CALL,
    }
