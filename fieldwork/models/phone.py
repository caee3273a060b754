"""What the phones send: each thing once, however often it arrives."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from scheduling.models import Technician, Visit
from shop.models import Branch


class EventState(models.TextChoices):
    APPLIED = "applied", "Taken over"
    CONFLICT = "conflict", "Kept: something else had changed"
    REFUSED = "refused", "Refused"
    LEFT = "left", "Left aside by the office"


class PhoneEventQuerySet(models.QuerySet["PhoneEvent"]):
    def of(self, branch: Branch) -> PhoneEventQuerySet:
        return self.filter(technician__branch=branch)

    def conflicts(self) -> PhoneEventQuerySet:
        return self.filter(state=EventState.CONFLICT)


class PhoneEvent(models.Model):
    """One thing done on a phone, under the key that the phone gave it.

    The row is written in the transaction that applies it. A conflict is kept whole, so that the
    office can still take it over.
    """

    client_key = models.UUIDField(unique=True)
    # Which phone: made once by the browser, so that a phone never quarrels with itself.
    device = models.CharField(max_length=36)
    # Counted on by each phone: tells the order even when its clock was set meanwhile.
    seq = models.PositiveBigIntegerField(default=0)
    technician = models.ForeignKey(Technician, on_delete=models.PROTECT, related_name="events")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=16)
    # None: about the whole day.
    visit = models.ForeignKey(
        Visit, null=True, blank=True, on_delete=models.PROTECT, related_name="phone_events"
    )
    day = models.DateField()
    payload = models.JSONField(default=dict)
    # A photo or signature that came in conflict, until somebody decides.
    file = models.FileField(upload_to="kept/%Y/%m/", blank=True)

    # By the phone's own clock; corrected by what that clock showed when it sent; arrived.
    phone_at = models.DateTimeField()
    made_at = models.DateTimeField()
    received_at = models.DateTimeField()

    state = models.CharField(max_length=8, choices=EventState.choices)
    # Why it was refused or could not be taken over, for the phone and the office.
    words = models.CharField(max_length=300, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    objects = PhoneEventQuerySet.as_manager()

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="what_was_not_taken_over_says_why",
                condition=Q(state=EventState.APPLIED) | ~Q(words=""),
            )
        ]
        indexes = [
            models.Index(fields=["state", "received_at"], name="office_lists_conflicts"),
            models.Index(fields=["visit", "day"], name="visit_shows_its_conflicts"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.technician}, {self.day}"
