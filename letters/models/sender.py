"""In whose name a branch writes, and when it does not."""

from __future__ import annotations

import datetime as dt

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from letters.hours import next_allowed
from shop.models import Branch

MOST_LETTERS_A_DAY = 20


class Sender(models.Model):
    """A branch's letterhead and its rules for sending."""

    branch = models.OneToOneField(Branch, on_delete=models.CASCADE, related_name="sender")
    from_name = models.CharField(max_length=80)
    from_email = models.EmailField()
    phone = models.CharField(max_length=20)
    postal_address = models.CharField(
        max_length=200, help_text="In each letter, as US law asks (CAN-SPAM)"
    )
    emergency_phone = models.CharField(
        max_length=20, blank=True, help_text="The gas company's number, on the no-start page"
    )
    quiet_from = models.TimeField(default=dt.time(20), help_text="No letters from this time")
    quiet_until = models.TimeField(default=dt.time(8), help_text="until this, the customer's clock")
    daily_limit = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(MOST_LETTERS_A_DAY)],
        help_text="Letters a customer gets in a day at most; an agreed visit is not counted",
    )  # fmt: skip
    paused = models.BooleanField(default=False, help_text="Nothing is sent while this is on")

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_customer_may_get_some_letters_a_day",
                condition=models.Q(daily_limit__range=(1, MOST_LETTERS_A_DAY)),
            )
        ]

    def __str__(self) -> str:
        return f"{self.from_name} <{self.from_email}>"

    def clean(self) -> None:
        """The night must leave a day."""
        some_day = dt.datetime(2027, 1, 1, tzinfo=dt.UTC)
        if self.quiet_from and self.quiet_until:
            try:
                next_allowed(some_day, self.branch.zone, self.quiet_from, self.quiet_until)
            except ValueError as nonsense:
                raise ValidationError({"quiet_until": str(nonsense)}) from nonsense
