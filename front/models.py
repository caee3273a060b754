"""What Redbud knows of its own keeping."""

from __future__ import annotations

from django.db import models


class Backup(models.Model):
    """One backup; `verified_at`: it was restored somewhere and everything came back."""

    made_at = models.DateTimeField()
    file = models.CharField(max_length=300)
    bytes = models.PositiveBigIntegerField(default=0)
    verified_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=500, blank=True, help_text="Why it did not come about")

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M}: {self.trouble or self.file}"
