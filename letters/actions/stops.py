"""Verbs by which a customer stops letters, and by which an address is found bad."""

from __future__ import annotations

import datetime as dt

from django.db import transaction

from customers.models import Customer
from letters.bounces import Bounce, Complaint
from letters.kinds import KINDS, kind_of
from letters.models import BadAddress, Letter, LetterState, Stop

EVERYTHING = ""
REMINDERS = tuple(kind.name for kind in KINDS.values() if kind.is_reminder)


def stop_letters(*, customer: Customer, kind: str, now: dt.datetime) -> Stop:
    """Stop one kind of reminder, or with `EVERYTHING` every letter. Safe to repeat."""
    if kind != EVERYTHING and not kind_of(kind).is_reminder:
        raise ValueError(f"{kind} is about an agreed visit; it stops only with everything.")
    return Stop.objects.get_or_create(customer=customer, kind=kind, defaults={"since": now})[0]


@transaction.atomic
def choose_letters(
    *, customer: Customer, wanted: set[str], none_at_all: bool, now: dt.datetime
) -> None:
    """Write down what the customer ticked: reminders wanted, or no letters at all."""
    Stop.objects.filter(customer=customer, kind__in=[*wanted, EVERYTHING]).delete()
    for kind in set(REMINDERS) - wanted:
        stop_letters(customer=customer, kind=kind, now=now)
    if none_at_all:
        stop_letters(customer=customer, kind=EVERYTHING, now=now)


def take_report(*, report: Bounce | Complaint, now: dt.datetime) -> BadAddress | None:
    """Believe what came back when it names a letter that we sent; anybody can write such mail.

    The address that is marked is the one we wrote to, whatever the report says. A temporary
    failure marks nothing, nor does a report about no letter of ours.
    """
    letter = Letter.objects.filter(
        message_id=report.message_id or "", state__in=[LetterState.SENT, LetterState.UNSURE]
    ).first()
    if letter is None or (isinstance(report, Bounce) and not report.permanent):
        return None
    bounced = isinstance(report, Bounce)
    words = report.diagnostic if isinstance(report, Bounce) else report.about
    why = BadAddress.Why.BOUNCED if bounced else BadAddress.Why.COMPLAINED
    Letter.objects.filter(pk=letter.pk).update(trouble=f"{why.label}: {words}"[:300])
    return mark_address(email=letter.to_email, why=why, words=words, now=now)


def mark_address(*, email: str, why: str, words: str, now: dt.datetime) -> BadAddress:
    """Write nothing more to an address until the office changes it."""
    return BadAddress.objects.update_or_create(
        email=email.lower(),
        defaults={"why": why, "words": words[:300], "since": now, "seen": False},
    )[0]


def see_bad_address(*, address: BadAddress) -> None:
    """The office has looked at it."""
    BadAddress.objects.filter(pk=address.pk).update(seen=True)


def clear_bad_address(*, address: BadAddress) -> None:
    """The office knows that the address works after all: it may be written to again."""
    BadAddress.objects.filter(pk=address.pk).delete()
