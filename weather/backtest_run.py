"""One backtest that the office asked for: its hours and settings, how far it is, what it found."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import models
from django.db.models import Q

from kit.web.clock import quiet_since


class BacktestState(models.TextChoices):
    WAITING = "waiting", "Waiting for a worker"
    RUNNING = "running", "Playing the springs"
    READY = "ready", "Ready"
    CANCELLED = "cancelled", "Stopped"
    FAILED = "failed", "Failed"


UNDER_WAY = (BacktestState.WAITING, BacktestState.RUNNING)


class BacktestRunQuerySet(models.QuerySet["BacktestRun"]):
    def under_way(self) -> BacktestRunQuerySet:
        return self.filter(state__in=UNDER_WAY)

    def waiting_since(self, moment: dt.datetime) -> BacktestRunQuerySet:
        return self.filter(quiet_since(moment), state=BacktestState.WAITING)

    def silent_since(self, moment: dt.datetime) -> BacktestRunQuerySet:
        """Runs whose worker has not been heard of: it was killed or cut off."""
        return self.filter(quiet_since(moment), state=BacktestState.RUNNING)


class BacktestRun(models.Model):
    """The row is the queue of record; a broker message only wakes a worker for it."""

    branch = models.ForeignKey("shop.Branch", on_delete=models.CASCADE, related_name="backtests")
    state = models.CharField(
        max_length=10, choices=BacktestState.choices, default=BacktestState.WAITING
    )
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField()
    heard_at = models.DateTimeField(help_text="Last sign of life")
    ended_at = models.DateTimeField(null=True, blank=True)
    attempt = models.PositiveSmallIntegerField(default=0)
    file_name = models.CharField(max_length=200)
    # The readings as backtest.reading keeps them; emptied when the run is over.
    hours = models.JSONField(default=dict, blank=True)
    # Fields of backtest.Policy and backtest.Setup, and whose climate judges the springs.
    policy = models.JSONField()
    setup = models.JSONField()
    branch_climate = models.BooleanField(default=False)
    done = models.PositiveIntegerField(default=0, help_text="Settings played so far")
    total = models.PositiveIntegerField(default=0)
    found = models.JSONField(default=dict, blank=True, help_text="As backtest.report writes it")
    trouble = models.TextField(blank=True)

    objects = BacktestRunQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch"],
                condition=Q(state__in=UNDER_WAY),
                name="one_backtest_of_a_branch_at_a_time",
            )
        ]

    def __str__(self) -> str:
        return f"{self.file_name}, {self.asked_at:%Y-%m-%d %H:%M}"

    @property
    def under_way(self) -> bool:
        return self.state in UNDER_WAY

    @property
    def progress_words(self) -> str:
        return f"{self.done} of {self.total} settings"
