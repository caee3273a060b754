"""A drive to a home and how it ended; kept although the visit loses or changes its slot."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from scheduling.models.season import Season
from scheduling.models.technician import Technician
from scheduling.models.visit import Visit


class Outcome(models.TextChoices):
    DONE = "done", "Done"
    COLD = "cold", "Too cold to test"
    ABSENT = "absent", "Nobody was home"
    LOST = "lost", "Lost for another cause"


class TripQuerySet(models.QuerySet["Trip"]):
    def for_season(self, season: Season) -> TripQuerySet:
        return self.filter(visit__season=season)

    def lost_to_cold(self) -> TripQuerySet:
        return self.filter(outcome=Outcome.COLD)


class Trip(models.Model):
    """Who drove when, and what came of it. `warmth`: as it was expected; None: none was needed."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="trips")
    technician = models.ForeignKey(Technician, on_delete=models.PROTECT, related_name="trips")
    starts_at = models.DateTimeField()
    ended_at = models.DateTimeField()
    outcome = models.CharField(max_length=8, choices=Outcome.choices)
    why = models.CharField(max_length=200, blank=True)
    warmth = models.FloatField(null=True, blank=True)
    test_only = models.BooleanField(default=False)

    objects = TripQuerySet.as_manager()

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit", "technician", "starts_at", "outcome"], name="a_trip_ends_once"
            ),
            models.CheckConstraint(
                name="a_trip_that_was_not_done_says_why",
                condition=Q(outcome=Outcome.DONE) | ~Q(why=""),
            ),
        ]
        indexes = [models.Index(fields=["outcome", "starts_at"], name="books_count_trips")]

    def __str__(self) -> str:
        return f"{self.visit.owed_visit}: {self.get_outcome_display()}"
