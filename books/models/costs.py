"""What work costs the shop: without these no earning is told."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from shop.models import Branch


class CostRates(models.Model):
    """Of one branch, USD. None: nobody has said yet, and screens say so instead of guessing."""

    branch = models.OneToOneField(Branch, on_delete=models.CASCADE, related_name="cost_rates")
    hour_usd = models.DecimalField(
        max_digits=6, decimal_places=2, null=True, help_text="An hour of a technician, all told"
    )
    drive_min_usd = models.DecimalField(
        max_digits=6, decimal_places=2, null=True, help_text="A driven minute of the truck alone"
    )

    class Meta:
        verbose_name_plural = "cost rates"
        constraints = [
            models.CheckConstraint(
                name="what_work_costs_is_not_negative",
                condition=(Q(hour_usd=None) | Q(hour_usd__gte=0))
                & (Q(drive_min_usd=None) | Q(drive_min_usd__gte=0)),
            )
        ]

    def __str__(self) -> str:
        return f"Costs of {self.branch}"


class PartPrice(models.Model):
    """What one of a part costs the shop, by the words that technicians write."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="part_prices")
    # In small letters, single spaces: as books.earned_reading.part_key makes them.
    key = models.CharField(max_length=120)
    usd = models.DecimalField(max_digits=8, decimal_places=2)

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "key"], name="a_part_has_one_price"),
            models.CheckConstraint(name="a_part_costs_nothing_or_more", condition=Q(usd__gte=0)),
        ]

    def __str__(self) -> str:
        return f"{self.key}: {self.usd}"
