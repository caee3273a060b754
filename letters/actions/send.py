"""Verbs of the senders: claim due letters, send one, settle what a killed sender left.

Each step is one UPDATE that names the state it expects; its row count decides. The one moment
that cannot be made exactly-once lies between the mail server's yes and the commit in
`_mark_sent`: a sender killed there leaves its one letter `sending`, and nobody knows. What
happens with it is decided by its kind (`letters.kinds.LetterKind.when_unsure`).
"""

from __future__ import annotations

import datetime as dt
import logging
from uuid import uuid4

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.core.mail.backends.base import BaseEmailBackend
from django.db import connection, transaction

from customers.models import Customer
from letters.actions.stops import mark_address
from letters.hours import retry_at
from letters.mail import InDoubt, NotTaken, Refused, Unreachable, hand_over
from letters.models import BadAddress, Letter, LetterState
from letters.models.letter import IN_HAND
from letters.obstacles import Obstacle, obstacle_to
from letters.render import message_of

log = logging.getLogger(__name__)

BATCH = 20


def lease() -> dt.timedelta:
    """Longer than any mail server takes to answer; past it, the sender is gone."""
    return dt.timedelta(seconds=settings.LETTER_LEASE_S)


def claim_letters(*, now: dt.datetime, limit: int = BATCH) -> list[Letter]:
    """Take due letters for this sender. Two senders never get the same one."""
    claim = uuid4().hex
    with transaction.atomic():
        due = Letter.objects.sendable(now).order_by("due_at", "pk")
        if connection.features.has_select_for_update_skip_locked:
            due = due.select_for_update(skip_locked=True, of=("self",))
        ids = list(due.values_list("pk", flat=True)[:limit])
        Letter.objects.filter(pk__in=ids, state=LetterState.WAITING).update(
            state=LetterState.CLAIMED, claim=claim, lease_until=now + lease()
        )
    return list(
        Letter.objects.filter(claim=claim, state=LetterState.CLAIMED)
        .select_related("customer__branch__sender")
        .order_by("due_at", "pk")
    )


def give_back(*, letters: list[Letter]) -> int:
    """Let other senders have what this one claimed and did not get to."""
    mine = Letter.objects.filter(
        pk__in=[letter.pk for letter in letters], state=LetterState.CLAIMED,
        claim__in={letter.claim for letter in letters},
    )  # fmt: skip
    return mine.update(state=LetterState.WAITING, claim="", lease_until=None)


def send_letter(*, letter: Letter, mail: BaseEmailBackend, now: dt.datetime) -> str:
    """Send a claimed letter, or do with it what stands in its way asks; returns its new state.

    Raises Unreachable, with the letter waiting again, when there is no mail server to talk to.
    """
    try:
        message = message_of(letter)
    except Exception as trouble:  # whatever is wrong with one letter must not stop the others
        log.exception("letter %s cannot be worded", letter.pk)
        return _give_up(letter, LetterState.CLAIMED, str(trouble) or type(trouble).__name__)
    state = _begin(letter, now)
    if state != LetterState.SENDING:
        return state
    try:
        hand_over(mail, message)
    except Unreachable as trouble:
        _try_again(letter, trouble, now)
        raise
    except NotTaken as trouble:
        return _try_again(letter, trouble, now)
    except Refused as refusal:
        if refusal.bad_address:
            why = BadAddress.Why.BOUNCED
            mark_address(email=letter.to_email, why=why, words=str(refusal), now=now)
        return _give_up(letter, LetterState.SENDING, str(refusal))
    except InDoubt as trouble:
        return _doubt(letter, trouble, now)
    return _mark_sent(letter, message, now)


def settle_abandoned(*, now: dt.datetime) -> dict[str, int]:
    """Letters of killed senders: claimed ones go back, sending ones go by their kind."""
    abandoned = Letter.objects.abandoned(now)
    back = abandoned.filter(state=LetterState.CLAIMED).update(
        state=LetterState.WAITING, claim="", lease_until=None
    )
    again = unsure = 0
    for letter in abandoned.filter(state=LetterState.SENDING):
        if letter.rules.when_unsure == "send_again":
            again += _step(
                letter, LetterState.SENDING, state=LetterState.WAITING, claim="",
                trouble="perhaps sent before: its sender was cut off",
            )  # fmt: skip
        else:
            # The claim stays: a sender that was only slow may still say that it was sent.
            unsure += _step(
                letter, LetterState.SENDING, state=LetterState.UNSURE, lease_until=None,
                trouble="its sender was cut off; perhaps it was sent",
            )  # fmt: skip
    return {"back": back, "again": again, "unsure": unsure}


def _begin(letter: Letter, now: dt.datetime) -> str:
    """The last look at what stands in the way, and `sending` on record before the server hears.

    The customer's row is locked, so that two senders cannot both send the last letter of a day.
    """
    with transaction.atomic():
        Customer.objects.select_for_update().get(pk=letter.customer_id)
        obstacle = obstacle_to(letter, now)
        if obstacle is not None:
            return _turn_aside(letter, obstacle)
        until = now + lease()
        mine = _step(letter, LetterState.CLAIMED, state=LetterState.SENDING, lease_until=until)
    # Not mine: withdrawn meanwhile, or the lease ran out and another sender has it.
    return LetterState.SENDING if mine else LetterState.CLAIMED


def _step(letter: Letter, *expected: str, **fields: object) -> bool:
    """Change a letter that is still in the hands of this claim."""
    mine = Letter.objects.filter(pk=letter.pk, state__in=expected, claim=letter.claim)
    return bool(mine.update(**fields))


def _turn_aside(letter: Letter, obstacle: Obstacle) -> str:
    _step(
        letter, LetterState.CLAIMED, state=obstacle.state, claim="", lease_until=None,
        due_at=obstacle.due_at or letter.due_at, trouble=obstacle.words,
    )  # fmt: skip
    return obstacle.state


def _try_again(letter: Letter, trouble: Exception, now: dt.datetime) -> str:
    """Wait and try again, or give up visibly."""
    attempt = letter.attempt + 1
    next_try = retry_at(attempt, now)
    if next_try is None:
        return _give_up(letter, LetterState.SENDING, str(trouble))
    _step(
        letter, LetterState.SENDING, state=LetterState.WAITING, claim="", lease_until=None,
        attempt=attempt, due_at=next_try, trouble=str(trouble)[:300],
    )  # fmt: skip
    log.warning("letter %s was not taken (%s)", letter.pk, trouble)
    return LetterState.WAITING


def _doubt(letter: Letter, trouble: Exception, now: dt.datetime) -> str:
    """The line broke after the whole mail was with the server."""
    if letter.rules.when_unsure == "send_again":
        return _try_again(letter, trouble, now)
    _step(
        letter, LetterState.SENDING, state=LetterState.UNSURE, lease_until=None,
        trouble=f"the line broke; perhaps it was sent ({trouble})"[:300],
    )  # fmt: skip
    return LetterState.UNSURE


def _give_up(letter: Letter, expected: str, words: str) -> str:
    _step(
        letter, expected, state=LetterState.FAILED, claim="", lease_until=None, trouble=words[:300]
    )
    return LetterState.FAILED


def _mark_sent(letter: Letter, message: EmailMultiAlternatives, now: dt.datetime) -> str:
    _step(
        letter, *IN_HAND, LetterState.UNSURE, state=LetterState.SENT, claim="", lease_until=None,
        sent_at=now, attempt=letter.attempt + 1, subject=message.subject[:200],
        body=message.body, html=str(message.alternatives[0][0]), trouble="",
    )  # fmt: skip
    return LetterState.SENT
