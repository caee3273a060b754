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
from scheduling.openings import FreeSlot, free_slots, still_free
from scheduling.outlooks import outlook_for
from scheduling.reading import SeasonCannotBePlanned
from scheduling.states import NEXT, StepRefused

REFUSALS = (SlotTaken, SlotRefused, StepRefused)
SLOT_SALT = "scheduling.slot"
SHOWN_FOR_S = 3600
# A signed value that can stand in a form, and the slot it means.
Times = list[tuple[str, FreeSlot]]


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


def _page(
    request: VisitRequest, *, trouble: str = "", choosing: bool = False, left: Times | None = None
) -> HttpResponse:
    """`left`: what is still free of the times that she was shown; None: look for new ones."""
    visit, now = request.visit, timezone.now()
    kept = SlotHold.objects.live(now).filter(visit=visit).first()
    outlook = outlook_for(visit.season.branch, now) if visit.needs_warmth else None
    context = {
        "visit": visit,
        "home": visit.owed_visit.home,
        "sender": getattr(visit.season.branch, "sender", None),
        "token": request.token,
        "trouble": trouble,
        "kept": kept,
        "may_choose": "promised" in NEXT[visit.state],
        "times": _times(visit, now) if choosing and left is None and not kept else left,
        "left": left,
        "outlook": outlook,
        "called": visit.offers.to_call().exists(),
    }
    return render(request, "scheduling/answer.html", context, status=409 if trouble else 200)


def _times(visit: Visit, now: dt.datetime) -> Times:
    """None are found while the branch has no climate; the page asks her to be called."""
    try:
        return [(signed_slot(visit, slot), slot) for slot in free_slots(visit, now=now)]
    except SeasonCannotBePlanned:
        return []


def signed_slot(visit: Visit, slot: FreeSlot) -> str:
    """What stands in the form for a slot of this visit."""
    moments = slot.starts_at.isoformat(), slot.ends_at.isoformat()
    return dumps([visit.pk, slot.technician, *moments, slot.warmth], salt=SLOT_SALT)


def _read_slot(visit: Visit, value: str) -> FreeSlot | None:
    """The slot of a signed value; None: altered, too old, or of another visit."""
    try:
        pk, technician, starts_at, ends_at, warmth = loads(
            value, salt=SLOT_SALT, max_age=SHOWN_FOR_S
        )
    except BadSignature:
        return None
    moment = dt.datetime.fromisoformat
    slot = FreeSlot(technician, moment(starts_at), moment(ends_at), warmth, 0.0)
    return slot if pk == visit.pk else None


def _left(visit: Visit, shown: list[str], now: dt.datetime) -> Times:
    """What is still free of the times that she was shown.

    One query instead of a new search, so that a refusal is quick however many want the same times.
    """
    read = [(value, slot) for value in shown if (slot := _read_slot(visit, value))]
    free = set(still_free([slot for _, slot in read], visit, now=now))
    return [(value, slot) for value, slot in read if slot in free]


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
    visit, now = request.visit, timezone.now()
    slot = _read_slot(visit, request.POST.get("slot", ""))
    if slot is None:
        return _page(request, trouble=_("Please choose one of these times:"), choosing=True)
    try:
        if slot.starts_at <= now:
            raise SlotTaken
        keep_while_choosing(visit=visit, slot=slot, now=now)
    except REFUSALS:
        words = _("Someone else has just taken that time, we are sorry.")
        return _page(request, trouble=words, left=_left(visit, request.POST.getlist("shown"), now))
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
