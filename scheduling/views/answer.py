"""The customer's page of one visit: accept, choose another time, or ask for a call. No account.

Opening it changes nothing, because mail scanners open every link of a letter.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.core.signing import BadSignature, dumps, loads
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from letters.links import is_live, read_token
from scheduling.actions.offers import (
    accept_offer,
    ask_for_a_call,
    choose_slot,
    keep_while_choosing,
    set_short_notice,
)
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.feeds import technician_feed
from scheduling.models import SlotHold, Technician, Visit
from scheduling.openings import FreeSlot, free_slots
from scheduling.states import NEXT, StepRefused

REFUSALS = (SlotTaken, SlotRefused, StepRefused)
SLOT_SALT = "scheduling.slot"


class VisitRequest(HttpRequest):
    """A request through a visit's link."""

    visit: Visit
    token: str


def _by_link(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Lets in who has the visit's live link, in the customer's language and the branch's time."""

    @login_not_required
    @never_cache
    @wraps(view)
    def guarded(request: VisitRequest, token: str) -> HttpResponse:
        link = read_token(token, purpose="visit")
        if link is None or not is_live(link, timezone.now()):
            return render(request, "kit/no_link.html", status=404)
        pk = link.about.removeprefix("visit:")
        request.visit = (
            Visit.objects.with_home().select_related("season__branch__sender").get(pk=pk)
        )
        request.token = token
        customer, zone = request.visit.owed_visit.home.customer, request.visit.season.branch.zone
        with translation.override(customer.language), timezone.override(zone):
            return view(request)

    return guarded


def _page(request: VisitRequest, *, trouble: str = "", choosing: bool = False) -> HttpResponse:
    visit, now = request.visit, timezone.now()
    kept = SlotHold.objects.live(now).filter(visit=visit).first()
    context = {
        "visit": visit,
        "home": visit.owed_visit.home,
        "sender": getattr(visit.season.branch, "sender", None),
        "token": request.token,
        "trouble": trouble,
        "kept": kept,
        "may_choose": "promised" in NEXT[visit.state],
        "times": _times(visit, now) if choosing and not kept else None,
        "called": visit.offers.to_call().exists(),
    }
    return render(request, "scheduling/answer.html", context, status=409 if trouble else 200)


def _times(visit: Visit, now: dt.datetime) -> list[tuple[str, FreeSlot]]:
    """Free slots, each with a signed value that can stand in a form."""
    return [
        (
            dumps(
                [visit.pk, s.technician, s.starts_at.isoformat(), s.ends_at.isoformat(), s.warmth],
                salt=SLOT_SALT,
            ),
            s,
        )
        for s in free_slots(visit, now=now)
    ]


@_by_link
@require_GET
def show(request: VisitRequest) -> HttpResponse:
    return _page(request, choosing="times" in request.GET)


@_by_link
@require_POST
def accept(request: VisitRequest) -> HttpResponse:
    try:
        accept_offer(visit=request.visit, now=timezone.now())
    except REFUSALS:
        words = _("That time has gone meanwhile, we are sorry. These are free:")
        return _page(request, trouble=words, choosing=True)
    return redirect("scheduling:answer", request.token)


@_by_link
@require_POST
def keep(request: VisitRequest) -> HttpResponse:
    """Keep the chosen time for ten minutes; two who choose the same get one each, in turn."""
    try:
        pk, technician, starts_at, ends_at, warmth = loads(
            request.POST.get("slot", ""), salt=SLOT_SALT, max_age=3600
        )
    except BadSignature:
        return _page(request, trouble=_("Please choose one of these times:"), choosing=True)
    moment = dt.datetime.fromisoformat
    slot = FreeSlot(technician, moment(starts_at), moment(ends_at), warmth, 0.0)
    try:
        if pk != request.visit.pk or slot.starts_at <= timezone.now():
            raise SlotTaken
        keep_while_choosing(visit=request.visit, slot=slot, now=timezone.now())
    except REFUSALS:
        words = _("Someone else has just taken that time, we are sorry. These are free:")
        return _page(request, trouble=words, choosing=True)
    return redirect("scheduling:answer", request.token)


@_by_link
@require_POST
def confirm(request: VisitRequest) -> HttpResponse:
    try:
        choose_slot(visit=request.visit, now=timezone.now())
    except REFUSALS:
        words = _("The ten minutes are over. These times are free now:")
        return _page(request, trouble=words, choosing=True)
    return redirect("scheduling:answer", request.token)


@login_not_required
@never_cache
@require_GET
def feed(request: HttpRequest, token: str) -> HttpResponse:
    """A technician's calendar for a phone that subscribes to it; the address is its key."""
    link = read_token(token, purpose="feed")
    if link is None or not is_live(link, timezone.now()):
        return HttpResponse(status=404)
    technician = Technician.objects.select_related("branch").get(
        pk=link.about.removeprefix("technician:")
    )
    calendar = technician_feed(technician, timezone.now())
    return HttpResponse(calendar, content_type="text/calendar; charset=utf-8")


@_by_link
@require_POST
def call(request: VisitRequest) -> HttpResponse:
    ask_for_a_call(visit=request.visit, why="asked for a call", now=timezone.now())
    return redirect("scheduling:answer", request.token)


@_by_link
@require_POST
def short_notice(request: VisitRequest) -> HttpResponse:
    set_short_notice(visit=request.visit, willing="willing" in request.POST)
    return redirect("scheduling:answer", request.token)
