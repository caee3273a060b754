"""What a branch knows of its weather."""

from __future__ import annotations

from django.db import models

from weather.climate import Climate


class BranchClimate(models.Model):
    """The climate that a branch plans on: where it comes from, and its numbers."""

    branch = models.OneToOneField("shop.Branch", on_delete=models.CASCADE, related_name="climate")
    # The fields of Climate that are numbers; the others are columns below, to be read by people.
    coefficients = models.JSONField()
    station = models.CharField(max_length=40)
    place = models.CharField(max_length=120)
    source = models.CharField(max_length=200)
    period = models.CharField(max_length=40)
    demonstration = models.BooleanField(
        default=False, help_text="Another place's climate, to try Redbud with"
    )
    imported_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.place}, {self.period}"

    def climate(self) -> Climate:
        """The climate as the planning mathematics takes it."""
        return Climate.from_dict(
            {
                **self.coefficients,
                "station": self.station,
                "place": self.place,
                "source": self.source,
                "period": self.period,
                "demonstration": self.demonstration,
            }
        )
