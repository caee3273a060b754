"""One backtest that the office asked for: its hours and settings, how far it is, what it found."""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from kit.web.asked import UNDER_WAY, Asked


class BacktestRun(Asked):
    """`found` is as backtest.report writes it."""

    branch = models.ForeignKey("shop.Branch", on_delete=models.CASCADE, related_name="backtests")
    file_name = models.CharField(max_length=200)
    # The readings as backtest.reading keeps them; emptied when the run is over.
    hours = models.JSONField(default=dict, blank=True)
    # Fields of backtest.Policy and backtest.Setup, and whose climate judges the springs.
    policy = models.JSONField()
    setup = models.JSONField()
    branch_climate = models.BooleanField(default=False)

    silent_after = dt.timedelta(seconds=60)
    emptied: ClassVar[dict[str, Any]] = {"hours": {}}

    class Meta(Asked.Meta):
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
    def progress_words(self) -> str:
        return f"{self.done} of {self.total} settings"
