"""Verbs of a branch's letterhead: changed, paused, tried out."""

from __future__ import annotations

import datetime as dt

from django.core.mail import get_connection

from letters.actions.write import wake_a_sender
from letters.mail import hand_over, hang_up
from letters.models import Sender
from letters.render import sample_message
from shop.models import Branch


def save_letterhead(*, sender: Sender) -> Sender:
    """Write down a letterhead that its form has checked."""
    sender.save()
    return sender


def pause_letters(*, branch: Branch) -> bool:
    """Nothing more is sent for the branch; False: it is paused, or has no letterhead yet."""
    return bool(Sender.objects.filter(branch=branch, paused=False).update(paused=True))


def resume_letters(*, branch: Branch) -> bool:
    """Send what has waited, as far as it is still of use."""
    resumed = Sender.objects.filter(branch=branch, paused=True).update(paused=False)
    wake_a_sender()
    return bool(resumed)


def send_sample(*, sender: Sender, to_email: str, now: dt.datetime) -> None:
    """Send a sample letter to somebody of the office; raises what `hand_over` raises."""
    mail = get_connection()
    try:
        hand_over(mail, sample_message(sender, to_email, now))
    finally:
        hang_up(mail)
