"""How a branch books what its agreements earn: by which rule, and into which accounts."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from agreements.money.revenue import Accounts
from shop.models import Branch

USUAL = Accounts()


class Recognition(models.TextChoices):
    """When the price of an agreement is earned (agreements.money.revenue)."""

    STRAIGHT_LINE = "straight_line", "evenly over the days of the term"
    BY_VISITS = "by_visits", "with each visit that is carried out"


def _account(name: str) -> models.CharField:
    return models.CharField(max_length=60, default=name)


class Bookkeeping(models.Model):
    """Of one branch; a branch without a row books by the defaults."""

    branch = models.OneToOneField(Branch, on_delete=models.CASCADE, related_name="bookkeeping")
    recognition = models.CharField(
        max_length=14, choices=Recognition.choices, default=Recognition.STRAIGHT_LINE
    )
    cash = _account(USUAL.cash)
    receivable = _account(USUAL.receivable)
    deferred = _account(USUAL.deferred)
    revenue = _account(USUAL.revenue)
    moved = _account(USUAL.moved)

    class Meta:
        verbose_name_plural = "bookkeeping"
        constraints = [
            models.CheckConstraint(
                name="every_account_has_a_name",
                condition=~Q(cash="")
                & ~Q(receivable="")
                & ~Q(deferred="")
                & ~Q(revenue="")
                & ~Q(moved=""),
            ),
            models.CheckConstraint(
                name="what_is_earned_is_not_what_is_owed", condition=~Q(deferred=F("revenue"))
            ),
        ]

    def __str__(self) -> str:
        return f"Bookkeeping of {self.branch}"

    @property
    def accounts(self) -> Accounts:
        return Accounts(self.cash, self.receivable, self.deferred, self.revenue, self.moved)


def bookkeeping_of(branch: Branch) -> Bookkeeping:
    """The branch's own, or the defaults, not on file yet."""
    found = Bookkeeping.objects.filter(branch=branch).first()
    return found or Bookkeeping(branch=branch)
