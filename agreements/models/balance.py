"""What each agreement stands at, kept by the database itself."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from agreements.models.agreement import Agreement


class Balance(models.Model):
    """All that was asked less all that was paid and not given back. No verb writes it.

    Triggers do, with each row of money and in its transaction (agreements.keeping): otherwise
    every look at Today added up all the years.
    """

    agreement = models.OneToOneField(
        Agreement, on_delete=models.CASCADE, primary_key=True, related_name="balance"
    )
    cents = models.BigIntegerField(help_text="Above 0: to be paid, now or later; below: to go back")

    class Meta:
        # Nearly all agreements of the past are settled, and out of this index.
        indexes = [
            models.Index(fields=["cents"], condition=~Q(cents=0), name="balances_that_are_open")
        ]

    def __str__(self) -> str:
        return f"{self.cents} cents"
