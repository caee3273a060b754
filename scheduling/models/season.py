"""A named stretch in which a branch clears a kind of owed visits."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from shop.models import Branch

LONGEST_DAYS = 400


class Season(models.Model):
    """For example spring 2027 of one branch."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="seasons")
    name = models.CharField(max_length=60)
    starts_on = models.DateField()
    ends_on = models.DateField(help_text="Last day of the season")

    class Meta:
        ordering = ["-starts_on"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "name"], name="season_name_is_once_a_branch"),
            models.CheckConstraint(
                name="season_ends_after_it_begins", condition=Q(ends_on__gte=F("starts_on"))
            ),
        ]

    def __str__(self) -> str:
        return self.name
