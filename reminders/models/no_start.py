"""Times when a system did not start, and the homeowner went through the safe checks."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from customers.models import Home
from shop.models import Branch, User


class Outcome(models.TextChoices):
    SOLVED = "solved", "It runs again"
    CALL = "call", "To be called"


class NoStartQuerySet(models.QuerySet["NoStart"]):
    def of(self, branch: Branch) -> NoStartQuerySet:
        return self.filter(home__customer__branch=branch)

    def to_call(self) -> NoStartQuerySet:
        """What nobody at the office has taken up yet."""
        return self.filter(outcome=Outcome.CALL, seen_at=None)

    def trips_saved(self) -> NoStartQuerySet:
        """Homes that run again by a safe check, so that no truck was sent."""
        return self.filter(outcome=Outcome.SOLVED)


class NoStart(models.Model):
    """One no-start as the homeowner told it; `tried` holds ids of reminders.no_start.CHECKS."""

    home = models.ForeignKey(Home, on_delete=models.CASCADE, related_name="no_starts")
    asked_at = models.DateTimeField()
    outcome = models.CharField(max_length=8, choices=Outcome.choices)
    tried = models.JSONField(default=list, blank=True)
    # The check at which the homeowner stopped, or that helped; empty: after the last one.
    ended_at_check = models.CharField(max_length=16, blank=True)
    words = models.TextField(blank=True, max_length=1000, help_text="In the customer's own words")
    seen_at = models.DateTimeField(null=True, blank=True)
    seen_by = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL)

    objects = NoStartQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.CheckConstraint(
                name="a_no_start_that_is_solved_needs_no_call",
                condition=Q(outcome=Outcome.CALL) | Q(outcome=Outcome.SOLVED, seen_at=None),
            )
        ]
        indexes = [
            models.Index(fields=["outcome", "seen_at"], name="today_counts_no_starts"),
            models.Index(fields=["home", "asked_at"], name="no_starts_of_a_home"),
        ]

    def __str__(self) -> str:
        return f"{self.home}: {self.get_outcome_display()}"
