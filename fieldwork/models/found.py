"""What else a record holds: photos, parts used, and what is recommended."""

from __future__ import annotations

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models

from customers.models import System
from fieldwork.models.phone import PhoneEvent
from fieldwork.models.record import Record
from fieldwork.readings import Outcome as Verdict


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

    class Meta:
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return self.words or self.item or "Photo"


class PartUsed(models.Model):
    """A part that went into a system."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="parts")
    system = models.ForeignKey(System, null=True, blank=True, on_delete=models.PROTECT)
    words = models.CharField(max_length=120)
    quantity = models.DecimalField(
        max_digits=6, decimal_places=2, default=1, validators=[MinValueValidator(Decimal("0.01"))]
    )
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="part")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="some_of_a_part_was_used", condition=models.Q(quantity__gt=0)
            )
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
