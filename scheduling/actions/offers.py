"""Verbs of offers: made, answered, sent a second time, put on the telephone list."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction

from kit.when import moment_at
from letters.actions.write import withdraw_letters
from scheduling.actions.slots import SlotRefused, SlotTaken, change, hold_slot
from scheduling.actions.visits import pencil_visit, promise_visit
from scheduling.announcements import about, announce_coming, announce_offer, announce_promised
from scheduling.models import Answer, Offer, SlotHold, State, Technician, Visit
from scheduling.openings import FreeSlot
from shop.models import Branch, User

# How long the customer has for an answer before the second letter, and after it before the
# telephone list (choices of this project). Never later than the notice before the visit.
ANSWER_DAYS = 3
LAST_NOTICE = dt.timedelta(hours=36)
CHOOSING_LASTS = dt.timedelta(minutes=10)
# The letter of the day before goes out in the afternoon.
TELL_FROM_HOUR = 12


def offer_visits(
    *, visits: Iterable[Visit], now: dt.datetime, by: User | None = None
) -> list[Offer]:
    """Offer pencilled slots by letter; a customer without an address goes on the call list.

    Each visit is offered in a transaction of its own: one that changed meanwhile is left out.
    """
    offers = []
    for visit in visits:
        try:
            offers.append(offer_visit(visit=visit, now=now, by=by))
        except (SlotTaken, SlotRefused):
            continue
    return offers


@transaction.atomic
def offer_visit(*, visit: Visit, now: dt.datetime, by: User | None = None, why: str = "") -> Offer:
    """Send the customer the pencilled slot and ask for an answer.

    `why`: told to a customer who was offered another one before.
    """
    starts_at, _ = visit.slot
    if starts_at <= now:
        raise SlotRefused("That time has passed; give the visit another one.")
    change(visit, State.OFFERED, now=now, by=by, told=why)
    wish = visit.offers.open().to_call().first()
    visit.offers.open().update(answer=Answer.TAKEN_BACK, answered_at=now, call_since=None)
    offer = Offer.objects.create(visit=visit, made_at=now, answer_by=_answer_by(starts_at, now))
    if wish is not None:  # who asked for a call before is still to be called
        _call(offer, wish.call_since or now, wish.why_call)
    if announce_offer(visit, "offer", offer.answer_by, now, why) is None:
        _call(offer, now, "no e-mail address on file")
    return offer


def _answer_by(starts_at: dt.datetime, now: dt.datetime) -> dt.datetime:
    return max(min(now + dt.timedelta(days=ANSWER_DAYS), starts_at - LAST_NOTICE), now)


@transaction.atomic
def offer_instead(
    *, visit: Visit, technician: Technician, starts_at: dt.datetime, minutes: int,
    now: dt.datetime, why: str, by: User | None = None,
) -> Offer:  # fmt: skip
    """Take an offer back and make another, in one letter that says why."""
    withdraw_letters(about=about(visit), why="the visit has another time")
    pencil_visit(
        visit=visit, technician=technician, starts_at=starts_at, minutes=minutes, now=now, by=by
    )
    return offer_visit(visit=visit, now=now, by=by, why=why)


@transaction.atomic
def fill_slot(*, visit: Visit, slot: FreeSlot, now: dt.datetime, by: User | None = None) -> Offer:
    """Offer a free slot of the coming days to a customer of the short-notice list."""
    technician = visit.season.branch.technicians.get(pk=slot.technician)
    minutes = (slot.ends_at - slot.starts_at).total_seconds() / 60
    pencil_visit(
        visit=visit, technician=technician, starts_at=slot.starts_at, minutes=int(minutes),
        now=now, by=by,
    )  # fmt: skip
    Visit.objects.filter(pk=visit.pk).update(warmth=slot.warmth)
    visit.warmth = slot.warmth
    return offer_visit(visit=visit, now=now, by=by)


@transaction.atomic
def accept_offer(*, visit: Visit, now: dt.datetime) -> Visit:
    """The customer agrees to the offered slot. Safe to repeat."""
    if visit.state == State.PROMISED:
        return visit
    if visit.state != State.OFFERED:
        raise SlotTaken("This time is no longer offered.")
    change(visit, State.PROMISED, now=now, told="The customer accepted it.")
    _answer(visit, Answer.ACCEPTED, now)
    withdraw_letters(about=about(visit), why="answered")
    announce_promised(visit, now)
    return visit


@transaction.atomic
def keep_while_choosing(*, visit: Visit, slot: FreeSlot, now: dt.datetime) -> SlotHold:
    """Keep one of the free slots for ten minutes. Raises SlotTaken."""
    technician = visit.season.branch.technicians.get(pk=slot.technician)
    return hold_slot(visit, technician, slot.starts_at, slot.ends_at, now=now, lasts=CHOOSING_LASTS)


@transaction.atomic
def choose_slot(*, visit: Visit, now: dt.datetime) -> Visit:
    """Promise the slot that was kept for this customer. Raises SlotTaken when it ran out."""
    kept = SlotHold.objects.filter(visit=visit, until__gt=now).select_related("technician").first()
    if kept is None:
        raise SlotTaken("The ten minutes are over; please choose again.")
    minutes = (kept.ends_at - kept.starts_at).total_seconds() / 60
    _answer(visit, Answer.ANOTHER, now)
    return promise_visit(
        visit=visit, technician=kept.technician, starts_at=kept.starts_at,
        minutes=int(minutes), now=now, noted="The customer chose it.", pencilled_give_way=True,
    )  # fmt: skip


@transaction.atomic
def ask_for_a_call(*, visit: Visit, why: str, now: dt.datetime) -> None:
    """The customer would rather speak with someone."""
    offer = Offer.objects.open().filter(visit=visit).first()
    if offer is None:
        offer = Offer.objects.create(visit=visit, made_at=now, answer_by=now)
    _call(offer, now, why)


@transaction.atomic
def end_call(*, visit: Visit, now: dt.datetime) -> None:
    """The customer was told on the telephone, and there is nothing to book."""
    visit.offers.open().update(answer=Answer.CALL, answered_at=now)
    visit.offers.to_call().update(call_since=None)


def _call(offer: Offer, now: dt.datetime, why: str) -> None:
    Offer.objects.filter(pk=offer.pk, call_since=None).update(call_since=now, why_call=why)


def _answer(visit: Visit, answer: str, now: dt.datetime) -> None:
    Offer.objects.open().filter(visit=visit).update(answer=answer, answered_at=now, call_since=None)


def follow_up_offers(*, now: dt.datetime) -> tuple[int, int]:
    """A second letter to who has not answered, then the telephone list; counts of both."""
    written = called = 0
    for offer in Offer.objects.silent(now).select_related("visit"):
        with transaction.atomic():
            if offer.second_letter or offer.call_since:
                _call(offer, now, "no answer to two letters")
                called += offer.call_since is None
                continue
            answer_by = _answer_by(offer.visit.slot[0], now)
            first = Offer.objects.filter(pk=offer.pk, second_letter=False, answer=Answer.NONE)
            if first.update(second_letter=True, answer_by=answer_by):
                announce_offer(offer.visit, "second_offer", answer_by, now)
                written += 1
    return written, called


def tell_of_tomorrow(*, now: dt.datetime) -> int:
    """The letter of the day before, from noon on; the database refuses it twice."""
    written = 0
    for branch in Branch.objects.all():
        local = now.astimezone(branch.zone)
        if local.hour < TELL_FROM_HOUR:
            continue
        tomorrow = local.date() + dt.timedelta(days=1)
        first = moment_at(tomorrow, 0, branch.zone)
        visits = (
            Visit.objects.filter(season__branch=branch, state=State.PROMISED)
            .filter(starts_at__gte=first, starts_at__lt=first + dt.timedelta(days=1))
            .with_home()
            .select_related("season__branch")
        )
        written += sum(announce_coming(visit, "day_before", now) is not None for visit in visits)
    return written


@transaction.atomic
def set_short_notice(*, visit: Visit, willing: bool) -> None:
    """The customer can, or no longer can, come with two days' notice."""
    home = visit.owed_visit.home
    home.short_notice = willing
    home.save(update_fields=["short_notice"])
