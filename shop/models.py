"""The shop itself: its branches and the people who sign in.

Both homes and weather need a branch, so it stands on a floor below both.
"""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

# Common practice is 50 to 60 °F; outside these a check would be no test, or never take place.
LEAST_TEST_F, MOST_TEST_F = 45, 75
LEAST_HOLD_LIMIT, MOST_PULL_FORWARD = 0.3, 0.99
MOST_NOTICE_DAYS, MOST_PROMISE_DAYS = 14, 60
MOST_BROKEN_PROMISE_MIN = 600
LEAST_DRIVING_PERCENT, MOST_DRIVING_PERCENT = 50, 300
WORKING_WEEK = 0b0011111  # Monday is the lowest bit


def check_time_zone(name: str) -> None:
    """Refuse a zone that the clock library does not know."""
    if name not in available_timezones():
        raise ValidationError(f"“{name}” is no time zone; write it like America/Chicago.")


def test_temperature_field(**more: Any) -> models.PositiveSmallIntegerField:
    """A whole number of °F within what common practice calls a test."""
    return models.PositiveSmallIntegerField(
        validators=[
            MinValueValidator(LEAST_TEST_F, f"At least {LEAST_TEST_F} °F."),
            MaxValueValidator(MOST_TEST_F, f"At most {MOST_TEST_F} °F."),
        ],
        **more,
    )


class Branch(models.Model):
    """One place from which technicians drive out, with its clock, climate and rules."""

    name = models.CharField(max_length=80, unique=True)
    slug = models.SlugField(unique=True)
    place = models.CharField(max_length=80, help_text="Town and state, for example West Allis, WI")
    time_zone = models.CharField(max_length=40, validators=[check_time_zone])
    latitude = models.FloatField(validators=[MinValueValidator(-90), MaxValueValidator(90)])
    longitude = models.FloatField(validators=[MinValueValidator(-180), MaxValueValidator(180)])
    elevation_ft = models.IntegerField(
        default=0, validators=[MinValueValidator(-300), MaxValueValidator(12000)]
    )
    test_temperature_f = test_temperature_field(
        default=55, help_text="°F outdoors; a cooling check below it is no test"
    )
    least_warmth = models.FloatField(
        default=0.7,
        validators=[MinValueValidator(0.5), MaxValueValidator(0.95)],
        help_text="A cooling check is planned only where it is warm with at least this probability",
    )
    hold_limit = models.FloatField(
        default=0.6,
        validators=[MinValueValidator(LEAST_HOLD_LIMIT), MaxValueValidator(0.95)],
        help_text="A promised cooling check leaves its time when it is warm with less than this",
    )
    pull_forward_limit = models.FloatField(
        default=0.9,
        validators=[MinValueValidator(0.5), MaxValueValidator(MOST_PULL_FORWARD)],
        help_text="A free time is filled at short notice when it is at least this likely warm",
    )
    notice_days = models.PositiveSmallIntegerField(
        default=2, help_text="Days between a letter about a new time and that time"
    )
    promise_days = models.PositiveSmallIntegerField(
        default=10, help_text="Working days ahead that times are promised to customers"
    )
    broken_promise_min = models.PositiveSmallIntegerField(
        default=30,
        help_text="Minutes of driving that a plan must save before a promised time may move",
    )
    driving_percent = models.PositiveSmallIntegerField(
        default=100, help_text="Driving takes so many per cent of what the map makes one expect"
    )
    test_only_min = models.PositiveSmallIntegerField(
        default=30, help_text="The short visit that only tests, each system"
    )
    working_days = models.PositiveSmallIntegerField(default=WORKING_WEEK)
    opens_at = models.TimeField(default="08:00")
    closes_at = models.TimeField(default="17:00")
    cooling_check_min = models.PositiveSmallIntegerField(default=60)
    heating_check_min = models.PositiveSmallIntegerField(default=60)
    further_system_min = models.PositiveSmallIntegerField(default=35)

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "branches"
        constraints = [
            models.CheckConstraint(
                name="branch_closes_after_it_opens", condition=Q(closes_at__gt=F("opens_at"))
            ),
            models.CheckConstraint(
                name="branch_test_temperature_is_sensible",
                condition=Q(test_temperature_f__range=(LEAST_TEST_F, MOST_TEST_F)),
            ),
            models.CheckConstraint(
                name="branch_limits_are_in_order",
                condition=Q(
                    hold_limit__gte=LEAST_HOLD_LIMIT,
                    hold_limit__lte=F("least_warmth"),
                    pull_forward_limit__gte=F("least_warmth"),
                    pull_forward_limit__lte=MOST_PULL_FORWARD,
                ),
            ),
            models.CheckConstraint(
                name="branch_gives_notice_and_promises_ahead",
                condition=Q(notice_days__range=(1, MOST_NOTICE_DAYS))
                & Q(promise_days__range=(1, MOST_PROMISE_DAYS)),
            ),
            models.CheckConstraint(
                name="branch_tests_in_some_minutes", condition=Q(test_only_min__range=(10, 480))
            ),
            models.CheckConstraint(
                name="branch_prices_a_broken_promise",
                condition=Q(broken_promise_min__range=(0, MOST_BROKEN_PROMISE_MIN)),
            ),
            models.CheckConstraint(
                name="branch_drives_at_a_sensible_pace",
                condition=Q(driving_percent__range=(LEAST_DRIVING_PERCENT, MOST_DRIVING_PERCENT)),
            ),
            models.CheckConstraint(
                name="branch_works_on_known_days", condition=Q(working_days__range=(0, 127))
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    @property
    def slower(self) -> float:
        """Minutes of driving for each that the map makes one expect."""
        return self.driving_percent / 100

    def works_on(self, weekday: int) -> bool:
        """Is the branch open on this weekday (0 is Monday)?"""
        return bool(self.working_days >> weekday & 1)


class Role(models.TextChoices):
    OFFICE = "office", "Office"
    TECHNICIAN = "technician", "Technician"
    OWNER = "owner", "Owner"


class User(AbstractUser):
    """Someone of the staff. Customers have no account: they are reached by letter."""

    role = models.CharField(max_length=12, choices=Role.choices, default=Role.OFFICE)
    branch = models.ForeignKey(
        Branch,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="staff",
        help_text="Empty: sees every branch (owners)",
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="only_an_owner_has_no_branch",
                condition=Q(branch__isnull=False) | Q(role=Role.OWNER) | Q(is_superuser=True),
            )
        ]

    @property
    def runs_the_office(self) -> bool:
        """May plan, import and change: office and owner."""
        return self.role in (Role.OFFICE, Role.OWNER)
