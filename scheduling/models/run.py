"""One planning of a season, from the press of the button to the applied plan."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import models
from django.db.models import Q

from kit.web.clock import quiet_since
from scheduling.models.season import Season


class RunState(models.TextChoices):
    WAITING = "waiting", "Waiting for a worker"
    RUNNING = "running", "Planning"
    PARTS = "parts", "Its parts are being planned"
    READY = "ready", "Ready to look at"
    APPLIED = "applied", "Applied"
    UNDONE = "undone", "Applied and undone"
    DISCARDED = "discarded", "Discarded"
    CANCELLED = "cancelled", "Cancelled"
    FAILED = "failed", "Failed"


UNDER_WAY = (RunState.WAITING, RunState.RUNNING, RunState.PARTS)
# A plan that can be looked at.
WITH_A_PLAN = (RunState.READY, RunState.APPLIED, RunState.UNDONE, RunState.DISCARDED)


class RunKind(models.TextChoices):
    PLAN = "plan", "Plan"
    WHAT_IF = "what_if", "What if"


class SeasonRunQuerySet(models.QuerySet["SeasonRun"]):
    def whole(self) -> SeasonRunQuerySet:
        """Runs of whole seasons, without the areas that some are planned in."""
        return self.filter(whole=None)

    def plans(self) -> SeasonRunQuerySet:
        """What can be put into a season."""
        return self.whole().filter(kind=RunKind.PLAN)

    def with_a_plan(self) -> SeasonRunQuerySet:
        return self.whole().filter(state__in=WITH_A_PLAN)

    def light(self) -> SeasonRunQuerySet:
        """Without the plans themselves: megabytes in a large branch."""
        return self.defer("best", "versions", "before", "scope")

    def under_way(self) -> SeasonRunQuerySet:
        return self.filter(state__in=UNDER_WAY)

    def left_since(self, moment: dt.datetime) -> SeasonRunQuerySet:
        """Runs that wait for a worker, or for their parts."""
        return self.filter(quiet_since(moment), state__in=(RunState.WAITING, RunState.PARTS))

    def silent_since(self, moment: dt.datetime) -> SeasonRunQuerySet:
        """Runs whose worker has not been heard of: it was killed or cut off."""
        return self.filter(quiet_since(moment), state=RunState.RUNNING)


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
    kind = models.CharField(max_length=8, choices=RunKind.choices, default=RunKind.PLAN)
    # What a what-if changes: see scheduling.what_if.
    change = models.JSONField(default=dict, blank=True)
    # Promised times may move at the branch's price; their customers are written to when applied.
    promises_move = models.BooleanField(default=False)
    # A large branch is planned in areas at once: how many, and for each the run of the whole.
    areas = models.PositiveSmallIntegerField(default=1)
    whole = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="parts"
    )
    # Of an area: ids of its visits and technicians. Empty: all of the season.
    scope = models.JSONField(default=dict, blank=True)
    seconds = models.FloatField(default=15, help_text="How long to search")
    seed = models.PositiveIntegerField(default=1)
    attempt = models.PositiveSmallIntegerField(default=0)
    cancel_asked = models.BooleanField(default=False)
    finish_asked = models.BooleanField(default=False, help_text="Good enough: keep the best")
    # For the page: seconds, score, placed, cold_trips, travel_min, and the score over time.
    progress = models.JSONField(default=dict, blank=True)
    # The best plan so far, by row ids, so that a killed worker's search goes on from here.
    best = models.JSONField(default=dict, blank=True)
    # Version of each visit that the plan was made from; applying checks them again.
    versions = models.JSONField(default=dict, blank=True)
    trouble = models.TextField(blank=True)
    applied_at = models.DateTimeField(null=True, blank=True)
    applied_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    # What applying wrote over, for as long as that can be undone: see scheduling.actions.undo.
    before = models.JSONField(default=list, blank=True)

    objects = SeasonRunQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["season", "kind"],
                condition=Q(state__in=UNDER_WAY, whole=None),
                name="one_run_of_a_kind_at_a_time",
            ),
            models.CheckConstraint(
                name="only_a_plan_is_applied",
                condition=~Q(state__in=(RunState.APPLIED, RunState.UNDONE))
                | Q(kind=RunKind.PLAN, whole=None),
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
