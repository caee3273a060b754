"""What agreements did to visits that have a time: rows below are read here, nobody calls up.

An agreement that ends lets its owed visits go, and one that lives on opens them again; a home that
is sold passes its agreement on. The visit follows, its slot is free, and who was promised it is
told.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from django.db import transaction
from django.db.models import F, Max, Q

from agreements.models import What
from agreements.models.owed_visit import Closing
from letters.actions.write import withdraw_letters
from letters.links import revoke_links
from scheduling.actions.offers import ask_for_a_call
from scheduling.actions.slots import SlotTaken, change, take_slot
from scheduling.actions.visits import let_go
from scheduling.announcements import (
    about,
    agreement_has_ended,
    announce_cancelled,
    home_was_sold,
)
from scheduling.models import Answer, State, Visit
from scheduling.models.visit import VisitQuerySet
from scheduling.states import AGREED

TO_TELL_OF_THE_END = "to tell: the agreement no longer owes this visit; no e-mail address on file"


def follow_agreements(*, now: dt.datetime) -> int:
    """Let visits follow their agreements; returns how many did. Safe to repeat."""
    acts: list[tuple[VisitQuerySet, Callable[[Visit, dt.datetime], None]]] = [
        (let_go_with_their_agreement(), _take_back),
        (owed_again(), _owe_again),
        (promised_to_who_sold(), _take_back_from_seller),
    ]
    return sum(_each(visits, act, now) for visits, act in acts)


def let_go_with_their_agreement() -> VisitQuerySet:
    """Nobody owes them any more, and they still stand somewhere."""
    return Visit.objects.filter(owed_visit__closed=Closing.WAIVED).open()


def owed_again() -> VisitQuerySet:
    """Let go, and owed once more: the agreement lives on."""
    return Visit.objects.filter(owed_visit__closed="", state=State.WAIVED)


def promised_to_who_sold() -> VisitQuerySet:
    """With a time that was told to the owner of before: it changed last before the sale."""
    sale = Max(
        "owed_visit__agreement__events__at",
        filter=Q(owed_visit__agreement__events__what=What.PASSED_ON),
    )
    told = Visit.objects.filter(
        state__in=AGREED, owed_visit__agreement__acquired_from__isnull=False
    )
    return told.annotate(sold_at=sale, told_at=Max("events__at")).filter(sold_at__gt=F("told_at"))


def _each(
    visits: VisitQuerySet, act: Callable[[Visit, dt.datetime], None], now: dt.datetime
) -> int:
    """One transaction each; one that somebody changes meanwhile waits for the next sweep."""
    followed = 0
    for pk in list(visits.values_list("pk", flat=True)):
        try:
            with transaction.atomic():
                act(Visit.objects.with_home().select_related("season__branch").get(pk=pk), now)
        except SlotTaken:
            continue
        followed += 1
    return followed


def _take_back(visit: Visit, now: dt.datetime) -> None:
    why, promised = visit.owed_visit.why_waived, visit.state == State.PROMISED
    let_go(visit=visit, now=now, told_why=agreement_has_ended(visit), why=why)
    if promised and not visit.owed_visit.home.customer.email:
        ask_for_a_call(visit=visit, why=TO_TELL_OF_THE_END, now=now)


def _owe_again(visit: Visit, now: dt.datetime) -> None:
    change(visit, State.OWED, now=now, why="The agreement goes on, and owes it again.")


def _take_back_from_seller(visit: Visit, now: dt.datetime) -> None:
    """The visit is owed to the new owner, who was told of no time."""
    seller = visit.owed_visit.agreement.acquired_from
    assert seller is not None
    promised, slot = visit.state == State.PROMISED, visit.slot
    take_slot(visit, State.OWED, now=now, why="The home was sold; the new owner needs a time.")
    withdraw_letters(about=about(visit), why="the home was sold")
    revoke_links(about=about(visit), now=now)
    visit.offers.open().update(answer=Answer.TAKEN_BACK, answered_at=now, call_since=None)
    if promised:
        announce_cancelled(visit, slot, now, home_was_sold(seller), to=seller)
