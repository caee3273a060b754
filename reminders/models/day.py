"""The days on which a branch's reminders were decided."""

from __future__ import annotations

from django.db import models

from shop.models import Branch


class ReminderDay(models.Model):
    """Written when the whole branch was decided; without it the next hour decides again."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="reminder_days")
    day = models.DateField()
    decided_at = models.DateTimeField()
    homes = models.PositiveIntegerField()
    letters = models.PositiveIntegerField()

    class Meta:
        ordering = ["-day"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch", "day"], name="reminders_are_decided_once_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.branch}, {self.day}: {self.letters} letters"
