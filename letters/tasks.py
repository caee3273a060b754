"""Senders: woken by a message or by the sweep, they take what is due from the database."""

from __future__ import annotations

import logging
import time

from celery import shared_task
from django.conf import settings
from django.core.mail import get_connection
from django.utils import timezone

from letters.actions.send import claim_letters, give_back, send_letter, settle_abandoned
from letters.actions.write import SEND_DUE
from letters.links import end_expired_links
from letters.mail import Unreachable, hang_up
from letters.mailboxes import read_mailbox

log = logging.getLogger(__name__)

# A sender makes way for other work after this long; the sweep calls the next one.
LONGEST_S = 50.0


@shared_task(name=SEND_DUE)
def send_due() -> int:
    """Send due letters until there are none; returns how many were looked at."""
    deadline, count, mail = time.monotonic() + LONGEST_S, 0, get_connection()
    try:
        while letters := claim_letters(now=timezone.now()):
            for place, letter in enumerate(letters):
                if time.monotonic() > deadline:
                    give_back(letters=letters[place:])
                    return count
                try:
                    send_letter(letter=letter, mail=mail, now=timezone.now())
                except Unreachable as trouble:
                    # The others would fare the same: one try a sweep until the server is back.
                    log.warning("no mail server: %s", trouble)
                    give_back(letters=letters[place + 1 :])
                    return count
                count += 1
        return count
    finally:
        hang_up(mail)


@shared_task(name="letters.sweep")
def sweep() -> None:
    """Settle what killed senders left, end links whose time is over, and send what no message
    told of."""
    settle_abandoned(now=timezone.now())
    end_expired_links(now=timezone.now())
    send_due()


@shared_task(name="letters.read_bounces")
def read_bounces() -> int:
    """Read the mailbox to which undeliverable letters come back."""
    return read_mailbox(settings.BOUNCES_URL, now=timezone.now()).believed
