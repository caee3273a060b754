"""Offers: which pencilled slots go out next, who has not answered, whom to telephone."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from kit import words
from kit.when import moment_at
from scheduling.actions.offers import end_call, fill_slot, offer_visits
from scheduling.actions.repairs import TO_TELL
from scheduling.actions.slots import SlotRefused, SlotTaken
from scheduling.actions.sweeping import TO_TELL_OF_THE_END
from scheduling.actions.visits import promise_visit
from scheduling.models import Offer, Season, State, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.notice import promised_until
from scheduling.openings import FreeSlot, free_slots
from scheduling.outlooks import outlook_for, source_words
from scheduling.reading import SeasonCannotBePlanned, minutes_of_visit
from scheduling.short_notice import Fill, best_fill, fills_of, waiting_at_short_notice
from scheduling.states import StepRefused
from shop.access import StaffRequest, office_only
from shop.models import Branch

MOST_LISTED = 200


def _to_offer(branch: Branch, until: dt.date) -> VisitQuerySet:
    last = moment_at(until + dt.timedelta(days=1), 0, branch.zone)
    return (
        Visit.objects.filter(season__branch=branch, state=State.PENCILLED)
        .filter(starts_at__gt=timezone.now(), starts_at__lt=last)
        .with_home()
        .select_related("season__branch")
        .order_by("starts_at")
    )


def _until(branch: Branch, sent: str) -> dt.date:
    """Promises are made in waves: later visits stay pencilled, so a cold snap breaks few."""
    try:
        return dt.date.fromisoformat(sent)
    except ValueError:
        return promised_until(timezone.localdate(), branch.promise_days, branch.works_on)


def _source(branch: Branch) -> str:
    """Whose word the warmth on the screen is; "" without a climate."""
    outlook = outlook_for(branch, timezone.now())
    return source_words(outlook, branch.zone) if outlook else ""


def _free_slots(visit: Visit) -> tuple[list[FreeSlot], str]:
    """The free times for one visit, and what is missing before they can be told."""
    try:
        return free_slots(visit, now=timezone.now()), ""
    except SeasonCannotBePlanned as lack:
        return [], str(lack)


def _fills(season: Season | None) -> tuple[list[Fill], str]:
    """The same for the short-notice list."""
    try:
        return (fills_of(season, timezone.now()) if season else []), ""
    except SeasonCannotBePlanned as lack:
        return [], str(lack)


@require_GET
@office_only
def show(request: StaffRequest) -> HttpResponse:
    until = _until(request.branch, request.GET.get("until", ""))
    waiting = Offer.objects.of(request.branch).open().select_related("visit__technician")
    home = "visit__owed_visit__agreement__home__customer"
    to_offer = _to_offer(request.branch, until)
    context = {
        "nav": "offers",
        "until": until,
        "visits": to_offer[:MOST_LISTED],
        "count": to_offer.count(),
        "waiting": waiting.filter(call_since=None).select_related(home)[:MOST_LISTED],
        "calls": Offer.objects.of(request.branch).to_call().count(),
        "source": _source(request.branch),
    }
    return render(request, "scheduling/offers.html", context)


@require_POST
@office_only
def make(request: StaffRequest) -> HttpResponse:
    """Offer the ticked visits, or with `all` every one until the day shown."""
    visits = _to_offer(request.branch, _until(request.branch, request.POST.get("until", "")))
    if "all" not in request.POST:
        visits = visits.filter(pk__in=[pk for pk in request.POST.getlist("visit") if pk.isdigit()])
    offers = offer_visits(visits=visits, now=timezone.now(), by=request.user)
    messages.success(request, f"{words.counted(len(offers), 'time')} offered by letter.")
    return redirect("scheduling:offers")


@require_GET
@office_only
def short_notice(request: StaffRequest) -> HttpResponse:
    """Free warm slots of the coming days, each with the customer whom it suits best."""
    season = Season.objects.filter(branch=request.branch).first()
    fills, lack = _fills(season)
    source = _source(request.branch)
    context = {"nav": "offers", "fills": fills, "lack": lack, "source": source}
    return render(request, "scheduling/short_notice.html", context)


@require_POST
@office_only
def fill(request: StaffRequest, pk: int) -> HttpResponse:
    """Offer the slot shown; it is looked for anew, for it may have gone."""
    visit = get_object_or_404(waiting_at_short_notice(request.branch), pk=pk)
    try:
        slot = best_fill(visit, timezone.now())
    except SeasonCannotBePlanned as lack:
        messages.warning(request, str(lack))
        return redirect("scheduling:short-notice")
    if slot is None:
        messages.warning(request, "That time has gone meanwhile.")
        return redirect("scheduling:short-notice")
    try:
        fill_slot(visit=visit, slot=slot, now=timezone.now(), by=request.user)
    except (SlotTaken, SlotRefused, StepRefused) as refusal:
        messages.warning(request, str(refusal))
    else:
        messages.success(request, f"Offered to {visit.owed_visit.home.customer}.")
    return redirect("scheduling:short-notice")


@require_GET
@office_only
def calls(request: StaffRequest) -> HttpResponse:
    """The telephone list: the soonest slot first, then who has waited longest."""
    offers = (
        Offer.objects.of(request.branch)
        .to_call()
        .select_related("visit__owed_visit__agreement__home__customer", "visit__technician")
        .order_by("visit__starts_at", "call_since")
    )
    return render(request, "scheduling/calls.html", {"nav": "offers", "offers": offers})


@require_http_methods(["GET", "POST"])
@office_only
def call(request: StaffRequest, pk: int) -> HttpResponse:
    """One call: what to say, the offered and the free times, booked with one press."""
    offers = Offer.objects.of(request.branch).select_related("visit__season__branch")
    offer = get_object_or_404(offers, pk=pk)
    visit = offer.visit
    if "told" in request.POST:
        end_call(visit=visit, now=timezone.now())
        return redirect("scheduling:calls")
    if request.method == "POST":
        return _book(request, visit, pk)
    # Owed again meanwhile, it is an ordinary call.
    ended = offer.why_call == TO_TELL_OF_THE_END and visit.state == State.WAIVED
    times, lack = ([], "") if ended else _free_slots(visit)
    context = {
        "nav": "offers",
        "visit": visit,
        "ended": ended,
        "why_call": offer.why_call,
        "to_tell": offer.why_call == TO_TELL,
        "times": times,
        "lack": lack,
        "outlook": outlook_for(request.branch, timezone.now()) if visit.needs_warmth else None,
        "minutes": minutes_of_visit(visit),
    }
    return render(request, "scheduling/call.html", context)


def _book(request: StaffRequest, visit: Visit, pk: int) -> HttpResponse:
    """Promise the time that the customer agreed to on the telephone."""
    technician_id, _, moment = request.POST.get("slot", "").partition("~")
    minutes = request.POST.get("minutes", "")
    try:
        technician = request.branch.technicians.get(pk=int(technician_id))
        promise_visit(
            visit=visit,
            technician=technician,
            starts_at=dt.datetime.fromisoformat(moment),
            minutes=int(minutes),
            now=timezone.now(),
            by=request.user,
            noted="Agreed on the telephone.",
            pencilled_give_way=True,
        )
    except (SlotTaken, SlotRefused, StepRefused) as refusal:
        messages.error(request, str(refusal))
        return redirect("scheduling:call", pk)
    except (ValueError, request.branch.technicians.model.DoesNotExist):
        messages.error(request, "Choose one of the times.")
        return redirect("scheduling:call", pk)
    messages.success(request, f"Promised to {visit.owed_visit.home.customer}.")
    return redirect("scheduling:calls")
