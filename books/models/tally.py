"""A past season's counts as they were last counted, to compare another with."""

from __future__ import annotations

from django.db import models

from scheduling.models import Season


class SeasonTally(models.Model):
    """`counts`: by the key of the number; `waited`: days from owed to done, the middle and for
    nine in ten, None where nothing was done; `done_by_week`: visits by number of the week;
    `cold_min`: of trips lost to cold, minutes there and driven."""

    season = models.OneToOneField(Season, on_delete=models.CASCADE, related_name="tally")
    counted_at = models.DateTimeField()
    counts = models.JSONField(default=dict)
    waited = models.JSONField(default=list)
    done_by_week = models.JSONField(default=dict)
    cold_min = models.JSONField(default=list)

    class Meta:
        verbose_name_plural = "season tallies"

    def __str__(self) -> str:
        return f"{self.season}, {self.counted_at:%Y-%m-%d}"
