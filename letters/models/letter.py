"""Every message to a customer: a row before it is sent, kept after it was."""

from __future__ import annotations

import datetime as dt
import secrets

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import OuterRef, Q
from django.db.models.functions import Lower

from customers.models import Customer
from kit.web.clock import PUT_BACK
from letters.contents import CONTENTS
from letters.headers import message_id
from letters.kinds import LetterKind, kind_of
from shop.models import Branch


class LetterState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    CLAIMED = "claimed", "Claimed"
    SENDING = "sending", "Sending"
    SENT = "sent", "Sent"
    UNSURE = "unsure", "Unsure"
    FAILED = "failed", "Given up"
    WITHDRAWN = "withdrawn", "Withdrawn"


# A worker holds a letter in these; past its lease, the worker is gone.
IN_HAND = (LetterState.CLAIMED, LetterState.SENDING)
# Nothing has left the house yet, so these can still be taken back.
NOT_GONE = (LetterState.WAITING, LetterState.CLAIMED)


def new_message_id() -> str:
    """A name that nobody can guess, for life; a bounce is believed by it."""
    return message_id(secrets.token_urlsafe(15), settings.LETTER_HOST)


class LetterQuerySet(models.QuerySet["Letter"]):
    def of(self, branch: Branch) -> LetterQuerySet:
        return self.filter(customer__branch=branch)

    def written_to(self, whom: str) -> LetterQuerySet:
        """To a customer of this name or address, or a part of it."""
        return self.filter(Q(customer__name__icontains=whom) | Q(to_email__icontains=whom))

    def to_address(self, email: str | OuterRef) -> LetterQuerySet:
        """To this address, given in small letters."""
        return self.alias(small=Lower("to_email")).filter(small=email)

    def waiting(self) -> LetterQuerySet:
        """Not sent yet; perhaps in a sender's hands."""
        return self.filter(state__in=[LetterState.WAITING, *IN_HAND])

    def unsure(self) -> LetterQuerySet:
        return self.filter(state=LetterState.UNSURE)

    def failed(self) -> LetterQuerySet:
        return self.filter(state=LetterState.FAILED)

    def due(self, now: dt.datetime) -> LetterQuerySet:
        return self.filter(state=LetterState.WAITING, due_at__lte=now)

    def sendable(self, now: dt.datetime) -> LetterQuerySet:
        """Due, and its branch is not paused."""
        return self.due(now).filter(customer__branch__sender__paused=False)

    def abandoned(self, now: dt.datetime) -> LetterQuerySet:
        """Whose lease has run out, or reaches farther than any does: the clock was put back."""
        longest = dt.timedelta(seconds=settings.LETTER_LEASE_S) + PUT_BACK
        gone = Q(lease_until__lt=now) | Q(lease_until__gt=now + longest)
        return self.filter(gone, state__in=IN_HAND)


class Letter(models.Model):
    """One message about one thing on one occasion; the database refuses it twice."""

    # Without an index of its own: that of the daily limit begins with the customer.
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, related_name="letters", db_index=False
    )
    kind = models.CharField(max_length=24)
    about = models.CharField(max_length=60, help_text="What it is about, for example visit:17")
    occasion = models.CharField(max_length=60, help_text="Which time: a sequence number or a day")
    to_email = models.EmailField()
    facts = models.JSONField(
        default=dict, blank=True, encoder=DjangoJSONEncoder, help_text="What the template fills in"
    )
    # Sequence, start, end … of the calendar invitation that goes with it; empty: none.
    invitation = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)

    state = models.CharField(
        max_length=10, choices=LetterState.choices, default=LetterState.WAITING
    )
    written_at = models.DateTimeField()
    due_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    attempt = models.PositiveSmallIntegerField(default=0)
    claim = models.CharField(max_length=40, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    message_id = models.CharField(max_length=200, default=new_message_id)
    subject = models.CharField(max_length=200, blank=True)
    body = models.TextField(blank=True, help_text="As it was sent")
    html = models.TextField(blank=True, help_text="As it was sent")
    trouble = models.CharField(max_length=300, blank=True)

    objects = LetterQuerySet.as_manager()

    class Meta:
        ordering = ["-written_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["about", "kind", "occasion"], name="letter_is_written_once_an_occasion"
            ),
            # Not `unique=True` on the field, which makes PostgreSQL keep a second, large index for
            # a search by beginnings, that nobody does.
            models.UniqueConstraint(fields=["message_id"], name="a_message_id_is_one_letters"),
            models.CheckConstraint(
                name="a_letter_in_hand_has_a_lease",
                condition=~Q(state__in=IN_HAND) | (Q(lease_until__isnull=False) & ~Q(claim="")),
            ),
            models.CheckConstraint(
                name="a_sent_letter_says_when",
                condition=~Q(state=LetterState.SENT) | Q(sent_at__isnull=False),
            ),
        ]
        indexes = [
            models.Index(fields=["state", "due_at"], name="sender_finds_due"),
            models.Index(fields=["customer", "sent_at"], name="customer_daily_limit"),
            models.Index(Lower("to_email"), name="letters_to_an_address"),
            models.Index(fields=["-written_at", "-id"], name="outbox_newest_first"),
            # All that is asked for, so that no letter is opened for being counted.
            models.Index(
                fields=["kind", "state", "sent_at", "customer", "about"], name="books_count_letters"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.label} to {self.to_email}"

    @property
    def label(self) -> str:
        """What the letter is, for the office."""
        return CONTENTS[self.kind].label

    @property
    def rules(self) -> LetterKind:
        """What may be done with a letter of this kind."""
        return kind_of(self.kind)
