"""Promises of a season: made, kept, broken.

A visit counts once. It was promised when the customer accepted a time, chose one, or is agreed to
one now. It was broken when the shop moved a promised time by more than half an hour, took it back,
or could not come; it was kept when a technician came and nothing was broken. What is neither is
still to come, or was let go by the customer.
"""

from __future__ import annotations

import datetime as dt

from django.db.models import CharField, Exists, F, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Cast, Concat

from books.numbers.number import Number
from books.numbers.visits import VISITS, every
from letters.models import Letter
from scheduling.models import (
    REPAIRS,
    Answer,
    Offer,
    Outcome,
    RepairStep,
    Season,
    State,
    StepState,
    Trip,
    Visit,
    What,
)

AGREED_TO = [Answer.ACCEPTED, Answer.ANOTHER]
# As planner.Prices.kept_within_min: a time that shifts by less is still the promised one.
KEPT_WITHIN = dt.timedelta(minutes=30)


def accepted() -> Exists:
    return Exists(Offer.objects.filter(visit=OuterRef("pk"), answer__in=AGREED_TO))


def came() -> Exists:
    return Exists(Trip.objects.filter(visit=OuterRef("pk")))


def _moved() -> Exists:
    """Steps that moved or took back a promise: not an offer (taken back in the same moment)."""
    offers = Offer.objects.filter(visit=OuterRef("visit"))
    was_offer = offers.filter(answer=Answer.TAKEN_BACK, answered_at=OuterRef("decided_at"))
    was_agreed = offers.filter(answer__in=AGREED_TO, answered_at__lt=OuterRef("decided_at"))
    far = (
        Q(to_starts_at=None)
        | Q(to_starts_at__gt=F("from_starts_at") + KEPT_WITHIN)
        | Q(to_starts_at__lt=F("from_starts_at") - KEPT_WITHIN)
    )
    steps = RepairStep.objects.filter(visit=OuterRef("pk"), state=StepState.AGREED)
    return Exists(
        steps.filter(
            far,
            ~Exists(was_offer),
            ~Q(what=What.MAKE_ROOM) | Exists(was_agreed),
            what__in=REPAIRS,
            from_starts_at__isnull=False,
        )
    )


def _cancelled() -> Exists:
    """Letters that took a promised time back."""
    about = Concat(Value("visit:"), Cast(OuterRef("pk"), CharField()))
    return Exists(Letter.objects.filter(about=about, kind="promise_cancelled"))


def broke() -> Q:
    """The shop moved a promised time, took it back, or could not come; nobody let it go."""
    could_not_come = Trip.objects.filter(visit=OuterRef("pk"), outcome=Outcome.LOST)
    taken_back = ~Q(state=State.WAIVED) & Q(_cancelled())
    return Q(_moved()) | Q(Exists(could_not_come)) | taken_back


def made(season: Season) -> QuerySet[Visit]:
    return every(season).filter(Q(state=State.PROMISED) | Q(accepted()) | Q(came()))


def broken(season: Season) -> QuerySet[Visit]:
    return made(season).filter(broke())


def kept(season: Season) -> QuerySet[Visit]:
    return every(season).filter(came()).exclude(broke())


PROMISES = (
    Number(
        "promised", "Promises made",
        "Visits whose customer agreed to a time, or to whom a technician drove.", VISITS, made,
    ),
    Number(
        "kept", "Kept", "A technician came, and no promised time was moved or taken back.",
        VISITS, kept,
    ),
    Number(
        "broken", "Broken",
        "A promised time was moved by more than half an hour, taken back, or nobody could come.",
        VISITS, broken,
    ),
)  # fmt: skip
