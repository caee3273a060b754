"""One planning of a changed season: what if more were sold, or another technician drove?"""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import models
from django.db.models import Q

from kit.web.clock import quiet_since
from scheduling.models import Season


class CapacityState(models.TextChoices):
    WAITING = "waiting", "Waiting for a worker"
    RUNNING = "running", "Planning"
    READY = "ready", "Ready"
    CANCELLED = "cancelled", "Stopped"
    FAILED = "failed", "Failed"


UNDER_WAY = (CapacityState.WAITING, CapacityState.RUNNING)


class CapacityRunQuerySet(models.QuerySet["CapacityRun"]):
    def under_way(self) -> CapacityRunQuerySet:
        return self.filter(state__in=UNDER_WAY)

    def waiting_since(self, moment: dt.datetime) -> CapacityRunQuerySet:
        return self.filter(quiet_since(moment), state=CapacityState.WAITING)

    def silent_since(self, moment: dt.datetime) -> CapacityRunQuerySet:
        """Runs whose worker has not been heard of: it was killed or cut off."""
        return self.filter(quiet_since(moment), state=CapacityState.RUNNING)


class CapacityRun(models.Model):
    """The row is the queue of record; a broker message only wakes a worker. Changes no season."""

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="capacity_runs")
    state = models.CharField(
        max_length=10, choices=CapacityState.choices, default=CapacityState.WAITING
    )
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField()
    heard_at = models.DateTimeField(help_text="Last sign of life")
    ended_at = models.DateTimeField(null=True, blank=True)
    attempt = models.PositiveSmallIntegerField(default=0)
    seconds = models.FloatField(default=5, help_text="How long each plan is searched")
    done = models.PositiveSmallIntegerField(default=0, help_text="Plans made so far")
    total = models.PositiveSmallIntegerField(default=0)
    # books.capacity.questions.Answers as JSON.
    found = models.JSONField(default=dict, blank=True)
    trouble = models.TextField(blank=True)

    objects = CapacityRunQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["season"],
                condition=Q(state__in=UNDER_WAY),
                name="one_capacity_run_of_a_season_at_a_time",
            ),
            models.CheckConstraint(
                name="capacity_plans_search_up_to_ten_minutes",
                condition=Q(seconds__range=(0.1, 600)),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.season}, {self.asked_at:%Y-%m-%d %H:%M}"

    @property
    def under_way(self) -> bool:
        return self.state in UNDER_WAY

    @property
    def progress_words(self) -> str:
        return f"{self.done} of {self.total} plans"
