"""What a homeowner did at the home between visits, and told us."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q

from customers.models import Filter, Home


class EventKind(models.TextChoices):
    FILTER_CHANGED = "filter_changed", "Filter changed"
    COVER_OFF = "cover_off", "Cover taken off"
    COVER_ON = "cover_on", "Cover put on"


class ToldBy(models.TextChoices):
    CUSTOMER = "customer", "Customer"
    OFFICE = "office", "Office"


class HomeEventQuerySet(models.QuerySet["HomeEvent"]):
    def since(self, day: dt.date) -> HomeEventQuerySet:
        return self.filter(on__gte=day)

    def of_the_cover(self) -> HomeEventQuerySet:
        return self.filter(kind__in=[EventKind.COVER_OFF, EventKind.COVER_ON])


class HomeEvent(models.Model):
    """One thing done on one day; telling it twice changes nothing."""

    home = models.ForeignKey(Home, on_delete=models.CASCADE, related_name="events")
    kind = models.CharField(max_length=16, choices=EventKind.choices)
    filter = models.ForeignKey(
        Filter, null=True, blank=True, on_delete=models.CASCADE, related_name="events"
    )
    on = models.DateField()
    told_at = models.DateTimeField()
    by = models.CharField(max_length=8, choices=ToldBy.choices, default=ToldBy.CUSTOMER)

    objects = HomeEventQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="only_a_changed_filter_names_a_filter",
                condition=Q(kind=EventKind.FILTER_CHANGED, filter__isnull=False)
                | (~Q(kind=EventKind.FILTER_CHANGED) & Q(filter=None)),
            ),
            models.UniqueConstraint(
                fields=["filter", "on"],
                condition=Q(filter__isnull=False),
                name="a_filter_is_changed_once_a_day",
            ),
            models.UniqueConstraint(
                fields=["home", "kind", "on"],
                condition=Q(filter=None),
                name="the_cover_is_told_once_a_day",
            ),
        ]
        indexes = [models.Index(fields=["home", "on"], name="year_of_a_home")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.on}"
