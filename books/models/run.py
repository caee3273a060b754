"""One planning of a changed season: what if more were sold, or another technician drove?"""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q

from kit.web.asked import UNDER_WAY, Asked
from scheduling.models import Season


class CapacityRun(Asked):
    """Changes no season. `found` is books.capacity.questions.Answers as JSON."""

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="capacity_runs")
    seconds = models.FloatField(default=5, help_text="How long each plan is searched")

    silent_after = dt.timedelta(seconds=90)

    class Meta(Asked.Meta):
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
    def progress_words(self) -> str:
        return f"{self.done} of {self.total} plans"
