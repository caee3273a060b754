"""Who drives: technicians, what they can do, when they work."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from kit.when import WEEKDAY_NAMES
from shop.models import Branch


class Skill(models.TextChoices):
    """What a check asks of a technician."""

    COOLING = "cooling", "Cooling"
    HEATING = "heating", "Heating"
    HEAT_PUMP = "heat_pump", "Heat pumps"


def check_skills(skills: object) -> None:
    """Refuse anything that is not a list of known skills."""
    if not isinstance(skills, list) or not set(skills) <= set(Skill.values):
        raise ValidationError(f"Skills are chosen from {', '.join(Skill.values)}.")


class TechnicianQuerySet(models.QuerySet["Technician"]):
    def of(self, branch: Branch) -> TechnicianQuerySet:
        return self.filter(branch=branch)

    def active(self) -> TechnicianQuerySet:
        return self.filter(active=True)


class Technician(models.Model):
    """A technician of a branch; starts and ends the day at a place of her own or at the branch."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="technicians")
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="technician",
    )
    name = models.CharField(max_length=80)
    skills = models.JSONField(default=list, validators=[check_skills])
    latitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)]
    )
    longitude = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    active = models.BooleanField(default=True)

    objects = TechnicianQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["branch", "name"], name="technician_name_is_once_a_branch"
            ),
            models.CheckConstraint(
                name="technician_has_a_whole_start_place_or_none",
                condition=Q(latitude=None, longitude=None)
                | Q(latitude__isnull=False, longitude__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def skill_names(self) -> list[str]:
        return [Skill(skill).label for skill in self.skills]

    @property
    def start_place(self) -> tuple[float, float]:
        """Own start place, else the branch's."""
        if self.latitude is None or self.longitude is None:
            return self.branch.latitude, self.branch.longitude
        return self.latitude, self.longitude


class Shift(models.Model):
    """The hours a technician works on one weekday, each week."""

    technician = models.ForeignKey(Technician, on_delete=models.CASCADE, related_name="shifts")
    weekday = models.PositiveSmallIntegerField(
        choices=list(enumerate(WEEKDAY_NAMES)), validators=[MaxValueValidator(6)]
    )
    starts_at = models.TimeField(default=dt.time(8))
    ends_at = models.TimeField(default=dt.time(16, 30))
    lunch_min = models.PositiveSmallIntegerField(default=30, help_text="0: no lunch break")

    class Meta:
        ordering = ["technician", "weekday"]
        constraints = [
            models.UniqueConstraint(fields=["technician", "weekday"], name="one_shift_a_weekday"),
            models.CheckConstraint(
                name="shift_ends_after_it_starts", condition=Q(ends_at__gt=F("starts_at"))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.technician}, {self.get_weekday_display()}"


class DayOff(models.Model):
    """Days on which a technician does not drive."""

    technician = models.ForeignKey(Technician, on_delete=models.CASCADE, related_name="days_off")
    first = models.DateField()
    last = models.DateField()
    why = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["first"]
        constraints = [
            models.CheckConstraint(
                name="days_off_end_after_they_start", condition=Q(last__gte=F("first"))
            )
        ]

    def __str__(self) -> str:
        return f"{self.technician}, {self.first} to {self.last}"
