"""Offers of slots to customers, and the short hold of a slot while one chooses."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import F, Q

from scheduling.models.technician import Technician
from scheduling.models.visit import Visit
from shop.models import Branch


class Answer(models.TextChoices):
    NONE = "", "No answer yet"
    ACCEPTED = "accepted", "Accepted"
    ANOTHER = "another", "Chose another time"
    CALL = "call", "Wants a call"
    TAKEN_BACK = "taken_back", "Taken back by the office"


class OfferQuerySet(models.QuerySet["Offer"]):
    def of(self, branch: Branch) -> OfferQuerySet:
        return self.filter(visit__season__branch=branch)

    def open(self) -> OfferQuerySet:
        return self.filter(answer=Answer.NONE)

    def silent(self, now: dt.datetime) -> OfferQuerySet:
        """Not answered in time."""
        return self.open().filter(answer_by__lt=now)

    def to_call(self) -> OfferQuerySet:
        """The telephone list: asked for a call, never answered, or cannot be written to."""
        return self.filter(call_since__isnull=False)


class Offer(models.Model):
    """A visit's slot offered to the customer; one open offer a visit."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="offers")
    made_at = models.DateTimeField()
    answer_by = models.DateTimeField()
    second_letter = models.BooleanField(default=False)
    answer = models.CharField(max_length=12, choices=Answer.choices, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    call_since = models.DateTimeField(null=True, blank=True, help_text="On the telephone list")
    why_call = models.CharField(max_length=100, blank=True)

    objects = OfferQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit"], condition=Q(answer=""), name="one_open_offer_a_visit"
            ),
            models.CheckConstraint(
                name="an_answer_says_when",
                condition=Q(answer="") | Q(answered_at__isnull=False),
            ),
        ]
        indexes = [models.Index(fields=["answer", "answer_by"], name="sweep_finds_silent")]

    def __str__(self) -> str:
        return f"{self.visit}: {Answer(self.answer).label}"


class SlotHoldQuerySet(models.QuerySet["SlotHold"]):
    def live(self, now: dt.datetime) -> SlotHoldQuerySet:
        return self.filter(until__gt=now)


class SlotHold(models.Model):
    """A free slot kept for a customer who is choosing; one a visit, for ten minutes."""

    visit = models.OneToOneField(Visit, on_delete=models.CASCADE, related_name="slot_hold")
    technician = models.ForeignKey(Technician, on_delete=models.CASCADE, related_name="slot_holds")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    until = models.DateTimeField()

    objects = SlotHoldQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_held_slot_ends_after_it_starts", condition=Q(ends_at__gt=F("starts_at"))
            )
        ]
        indexes = [models.Index(fields=["technician", "until"], name="booking_looks_for_holds")]

    def __str__(self) -> str:
        return f"{self.visit} until {self.until:%H:%M}"
