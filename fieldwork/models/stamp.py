"""The buttons of the day, and the order in which a technician drives it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from fieldwork.models.phone import PhoneEvent
from fieldwork.models.record import Record
from scheduling.models import Technician


class StampKind(models.TextChoices):
    ON_THE_WAY = "on_the_way", "On the way"
    THERE = "there", "There"
    DONE = "done", "Done"
    NOBODY_HOME = "nobody_home", "Nobody home"
    TOO_COLD = "too_cold", "Too cold"
    NOT_FINISHED = "not_finished", "Could not finish"


class Stamp(models.Model):
    """One press of a button, with the phone's time and ours."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="stamps")
    kind = models.CharField(max_length=12, choices=StampKind.choices)
    why = models.CharField(max_length=200, blank=True)
    phone_at = models.DateTimeField()
    made_at = models.DateTimeField()
    received_at = models.DateTimeField()
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="stamp")

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="who_could_not_finish_says_why",
                condition=~Q(kind=StampKind.NOT_FINISHED) | ~Q(why=""),
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.record}"


class RouteOrder(models.Model):
    """Another order of a day's stops than the plan's, with the reason; the latest counts."""

    technician = models.ForeignKey(
        Technician, on_delete=models.CASCADE, related_name="route_orders"
    )
    day = models.DateField()
    # Ids of visits, in driving order. Stops that are not named keep their time's place behind.
    visits = models.JSONField()
    why = models.CharField(max_length=200)
    made_at = models.DateTimeField()
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="route_order")

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(name="another_order_has_a_reason", condition=~Q(why=""))
        ]
        indexes = [models.Index(fields=["technician", "day"], name="my_day_orders_stops")]

    def __str__(self) -> str:
        return f"{self.technician}, {self.day}"
