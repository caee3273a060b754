"""Verbs that put letters into the outbox, take them out again, and settle what nobody knows."""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, transaction

from customers.models import Customer
from kit.web.wake import wake
from letters.kinds import kind_of
from letters.models import Letter, LetterState
from letters.models.letter import NOT_GONE

SEND_DUE = "letters.send_due"  # the task in letters.tasks


def write_letter(
    *,
    customer: Customer,
    kind: str,
    about: str,
    occasion: str,
    now: dt.datetime,
    facts: dict[str, object] | None = None,
    invitation: dict[str, object] | None = None,
    due_at: dt.datetime | None = None,
) -> Letter | None:
    """Put a letter into the outbox, in the caller's transaction; a sender is woken on its commit.

    `about` is the thing ("visit:17"), `occasion` which time ("2", "2027-04-12"), `facts` as
    letters.contents names them, `invitation` as letters.invitation.Invitation with a "method".
    None: the customer has no e-mail address, so somebody has to telephone. The same kind about
    the same thing on the same occasion is written once; the second call gives the first letter.
    """
    if not customer.email:
        return None
    due_at = due_at or now
    try:
        with transaction.atomic():
            letter = Letter.objects.create(
                customer=customer,
                kind=kind,
                about=about,
                occasion=occasion,
                to_email=customer.email,
                facts=facts or {},
                invitation=invitation or {},
                written_at=now,
                due_at=due_at,
                expires_at=due_at + kind_of(kind).expires_after,
            )
    except IntegrityError:
        first = Letter.objects.filter(about=about, kind=kind, occasion=occasion).first()
        if first is None:
            raise
        return first
    if due_at <= now:
        wake_a_sender()
    return letter


def wake_a_sender() -> None:
    """Once what was written is committed, and once for all of it; the sweep finds the rest."""
    if not any(act is _wake for _, act, _ in transaction.get_connection().run_on_commit):
        transaction.on_commit(_wake)


def _wake() -> None:
    wake(SEND_DUE)


def withdraw_letters(*, about: str, why: str, kind: str = "", occasions: str = "") -> int:
    """Take back what was not sent yet about a thing that has changed.

    `kind`: only letters of this kind. `occasions`: only those whose occasion begins so.
    """
    not_gone = Letter.objects.filter(about=about, state__in=NOT_GONE)
    if kind:
        not_gone = not_gone.filter(kind=kind)
    if occasions:
        not_gone = not_gone.filter(occasion__startswith=occasions)
    return not_gone.update(state=LetterState.WITHDRAWN, claim="", lease_until=None, trouble=why)


def send_unsure_letter(*, letter: Letter, now: dt.datetime) -> bool:
    """The office decided that an unsure letter is to go (again); False: it is not unsure."""
    return _settle(letter, LetterState.UNSURE, now, state=LetterState.WAITING)


def believe_unsure_letter(*, letter: Letter, now: dt.datetime) -> bool:
    """The office knows that an unsure letter did arrive."""
    return _settle(
        letter, LetterState.UNSURE, now, state=LetterState.SENT, sent_at=now,
        trouble="the office says that it arrived",
    )  # fmt: skip


def retry_failed_letter(*, letter: Letter, now: dt.datetime) -> bool:
    """Try a letter again that was given up, to the address that the customer has now."""
    to_email = letter.customer.email or letter.to_email
    return _settle(
        letter, LetterState.FAILED, now, state=LetterState.WAITING, to_email=to_email, attempt=0
    )


def set_failed_letter_aside(*, letter: Letter, now: dt.datetime) -> bool:
    """The office dealt with it in another way, mostly by telephone."""
    return _settle(
        letter, LetterState.FAILED, now, state=LetterState.WITHDRAWN, trouble="set aside"
    )


def _settle(letter: Letter, expected: str, now: dt.datetime, **fields: object) -> bool:
    """Change a letter that is still in the state in which the office saw it."""
    if fields["state"] == LetterState.WAITING:
        # Decided by a person, so it may go however late it is.
        fields |= {"due_at": now, "expires_at": None, "trouble": ""}
        wake_a_sender()
    seen = Letter.objects.filter(pk=letter.pk, state=expected)
    return bool(seen.update(claim="", lease_until=None, **fields))
