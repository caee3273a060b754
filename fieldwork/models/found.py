"""What else a record holds: photos, parts used, and what is recommended.

A photo or part that was wrong is not deleted: `removed` is the event that took it back, with who
and when.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.core.validators import MinValueValidator
from django.db import models

from customers.models import System
from fieldwork.models.phone import PhoneEvent
from fieldwork.models.record import Record
from fieldwork.readings import Outcome as Verdict


class FoundQuerySet(models.QuerySet[Any]):
    def standing(self) -> FoundQuerySet:
        """What was not removed again, with the key that the phone gave it."""
        return self.filter(removed=None).select_related("event")

    def removed(self) -> FoundQuerySet:
        return self.exclude(removed=None).select_related("removed__by")


def removed_field() -> models.ForeignKey[Any, Any]:
    return models.ForeignKey(
        PhoneEvent, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )


class Photo(models.Model):
    """Re-encoded, at most 1600 px, without the place and the camera that took it."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="photos")
    system = models.ForeignKey(System, null=True, blank=True, on_delete=models.PROTECT)
    # The item of the check list that it shows; empty: of the whole.
    item = models.CharField(max_length=60, blank=True)
    words = models.CharField(max_length=120, blank=True)
    image = models.FileField(upload_to="photos/%Y/%m/")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField()
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="photo")
    removed = removed_field()

    objects = FoundQuerySet.as_manager()

    class Meta:
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return self.words or self.item or "Photo"


class Replaced(models.TextChoices):
    """Parts of which a reading is followed from visit to visit: a new one begins a new line."""

    CAPACITOR = "capacitor", "Capacitor, both sides"
    CAPACITOR_COMPRESSOR = "capacitor_compressor", "Capacitor, compressor side"
    CAPACITOR_FAN = "capacitor_fan", "Capacitor, fan side"
    COMPRESSOR = "compressor", "Compressor"
    FLAME_SENSOR = "flame_sensor", "Flame sensor"


class PartUsed(models.Model):
    """A part that went into a system."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="parts")
    system = models.ForeignKey(System, null=True, blank=True, on_delete=models.PROTECT)
    words = models.CharField(max_length=120)
    quantity = models.DecimalField(
        max_digits=6, decimal_places=2, default=1, validators=[MinValueValidator(Decimal("0.01"))]
    )
    # Empty: nothing of which a reading is followed.
    replaces = models.CharField(max_length=20, choices=Replaced.choices, blank=True)
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="part")
    removed = removed_field()

    objects = FoundQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="some_of_a_part_was_used", condition=models.Q(quantity__gt=0)
            ),
            models.CheckConstraint(
                name="a_part_was_replaced_in_a_system",
                condition=models.Q(replaces="") | models.Q(system__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity.normalize():f} x {self.words}"


class Urgency(models.TextChoices):
    """How urgent it is, in the words of the verdicts."""

    WATCH = Verdict.WATCH.value, "Watch"
    ACT = Verdict.ACT.value, "Act"


class RecommendationState(models.TextChoices):
    OPEN = "open", "Open"
    TOLD = "told", "Customer told"
    AGREED = "agreed", "Customer agrees"
    DECLINED = "declined", "Customer declines"
    DONE = "done", "Done"


class Recommendation(models.Model):
    """A repair that the technician recommends; the office follows it up until it is settled."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="recommendations")
    system = models.ForeignKey(System, null=True, blank=True, on_delete=models.PROTECT)
    words = models.CharField(max_length=300)
    urgency = models.CharField(max_length=12, choices=Urgency.choices)
    state = models.CharField(
        max_length=8, choices=RecommendationState.choices, default=RecommendationState.OPEN
    )
    made_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    event = models.OneToOneField(
        PhoneEvent, on_delete=models.PROTECT, related_name="recommendation"
    )

    class Meta:
        ordering = ["urgency", "made_at", "pk"]
        constraints = [
            models.CheckConstraint(name="a_recommendation_has_words", condition=~models.Q(words=""))
        ]
        indexes = [models.Index(fields=["state", "made_at"], name="follow_up_of_the_office")]

    def __str__(self) -> str:
        return self.words
