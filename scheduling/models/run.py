"""One planning of a season, from the press of the button to the applied plan."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import models
from django.db.models import Q

from scheduling.models.season import Season


class RunState(models.TextChoices):
    WAITING = "waiting", "Waiting for a worker"
    RUNNING = "running", "Planning"
    READY = "ready", "Ready to look at"
    APPLIED = "applied", "Applied"
    DISCARDED = "discarded", "Discarded"
    CANCELLED = "cancelled", "Cancelled"
    FAILED = "failed", "Failed"


UNDER_WAY = (RunState.WAITING, RunState.RUNNING)


class SeasonRunQuerySet(models.QuerySet["SeasonRun"]):
    def under_way(self) -> SeasonRunQuerySet:
        return self.filter(state__in=UNDER_WAY)

    def waiting_since(self, moment: dt.datetime) -> SeasonRunQuerySet:
        return self.filter(state=RunState.WAITING, heard_at__lt=moment)

    def silent_since(self, moment: dt.datetime) -> SeasonRunQuerySet:
        """Runs whose worker has not been heard of: it was killed or cut off."""
        return self.filter(state=RunState.RUNNING, heard_at__lt=moment)


class SeasonRun(models.Model):
    """The row is the queue of record; a broker message only wakes a worker for it."""

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="runs")
    state = models.CharField(max_length=10, choices=RunState.choices, default=RunState.WAITING)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField()
    heard_at = models.DateTimeField(help_text="Last sign of life")
    ended_at = models.DateTimeField(null=True, blank=True)
    seconds = models.FloatField(default=15, help_text="How long to search")
    seed = models.PositiveIntegerField(default=1)
    attempt = models.PositiveSmallIntegerField(default=0)
    cancel_asked = models.BooleanField(default=False)
    # For the page: seconds, score, placed, cold_trips, travel_min, and the score over time.
    progress = models.JSONField(default=dict, blank=True)
    # The best plan so far, by row ids, so that a killed worker's search goes on from here.
    best = models.JSONField(default=dict, blank=True)
    # Version of each visit that the plan was made from; applying checks them again.
    versions = models.JSONField(default=dict, blank=True)
    trouble = models.TextField(blank=True)

    objects = SeasonRunQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["season"],
                condition=Q(state__in=UNDER_WAY),
                name="one_run_of_a_season_at_a_time",
            ),
            models.CheckConstraint(
                name="run_searches_one_second_to_an_hour", condition=Q(seconds__range=(1, 3600))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.season}, {self.asked_at:%Y-%m-%d %H:%M}"

    @property
    def under_way(self) -> bool:
        return self.state in UNDER_WAY
