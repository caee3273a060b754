"""The visits that agreements promise and that are not yet done."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import F, Q

from agreements.models.agreement import Agreement
from agreements.terms import BOTH, COOLING, HEATING
from customers.models import Home
from shop.models import Branch


class VisitKind(models.TextChoices):
    COOLING = COOLING, "Cooling check"
    HEATING = HEATING, "Heating check"
    BOTH = BOTH, "Cooling and heating check"


class Closing(models.TextChoices):
    DONE = "done", "Done"
    WAIVED = "waived", "Waived"


class OwedVisitQuerySet(models.QuerySet["OwedVisit"]):
    def of(self, branch: Branch) -> OwedVisitQuerySet:
        return self.filter(agreement__home__customer__branch=branch)

    def still_owed(self) -> OwedVisitQuerySet:
        return self.filter(closed="")

    def due_between(self, first: dt.date, last: dt.date) -> OwedVisitQuerySet:
        return self.filter(due_from__lte=last, due_until__gte=first)

    def overdue_since(self, first: dt.date, day: dt.date) -> OwedVisitQuerySet:
        """Visits whose due window ended from `first` on and before `day`."""
        return self.filter(due_until__gte=first, due_until__lt=day)

    def needing_warmth(self) -> OwedVisitQuerySet:
        return self.filter(kind__in=[VisitKind.COOLING, VisitKind.BOTH])


class OwedVisit(models.Model):
    """One visit of one term. `closed` is empty while it is owed."""

    agreement = models.ForeignKey(Agreement, on_delete=models.PROTECT, related_name="owed_visits")
    kind = models.CharField(max_length=8, choices=VisitKind.choices)
    number = models.PositiveSmallIntegerField(default=1, help_text="1st, 2nd … of its kind")
    due_from = models.DateField()
    due_until = models.DateField()
    closed = models.CharField(max_length=8, choices=Closing.choices, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    why_waived = models.CharField(max_length=200, blank=True)

    objects = OwedVisitQuerySet.as_manager()

    class Meta:
        ordering = ["due_until", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["agreement", "kind", "number"], name="visit_is_owed_once_a_term"
            ),
            models.CheckConstraint(
                name="due_window_ends_after_it_starts", condition=Q(due_until__gte=F("due_from"))
            ),
            models.CheckConstraint(
                name="closed_visit_has_its_day",
                condition=Q(closed="", closed_on=None)
                | (~Q(closed="") & Q(closed_on__isnull=False)),
            ),
        ]
        indexes = [models.Index(fields=["closed", "due_from"], name="season_gathers_owed")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} · {self.home}"

    @property
    def home(self) -> Home:
        return self.agreement.home

    @property
    def needs_warmth(self) -> bool:
        return self.kind in (VisitKind.COOLING, VisitKind.BOTH)
