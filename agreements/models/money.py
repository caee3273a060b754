"""What was asked and what was paid. Rows are never deleted: an error is undone by a counter entry.

No card data: a card is put into its own terminal, and here stands only that it was.
"""

from __future__ import annotations

import uuid
from decimal import Decimal

from django.db import models
from django.db.models import Q

from agreements.models.agreement import Agreement
from shop.models import Branch, User


class ChargeKind(models.TextChoices):
    TERM = "term", "Payment of the term"
    PRICE = "price", "Price changed"
    ENDING = "ending", "Settled at the end"


class ChargeQuerySet(models.QuerySet["Charge"]):
    def of(self, branch: Branch) -> ChargeQuerySet:
        return self.filter(agreement__home__customer__branch=branch)

    def standing(self) -> ChargeQuerySet:
        """Not withdrawn."""
        return self.filter(withdrawn_on=None)


class Charge(models.Model):
    """An amount due on a day; that of another PRICE or an ENDING may be a credit (negative)."""

    agreement = models.ForeignKey(Agreement, on_delete=models.PROTECT, related_name="charges")
    kind = models.CharField(max_length=8, choices=ChargeKind.choices, default=ChargeKind.TERM)
    due_on = models.DateField()
    amount = models.DecimalField(max_digits=8, decimal_places=2, help_text="USD")
    withdrawn_on = models.DateField(null=True, blank=True, help_text="When it was let go")

    objects = ChargeQuerySet.as_manager()

    class Meta:
        ordering = ["due_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["agreement", "kind", "due_on"], name="a_payment_is_asked_once_a_day"
            ),
            models.CheckConstraint(
                name="a_payment_of_the_term_is_above_zero",
                condition=~Q(kind=ChargeKind.TERM) | Q(amount__gt=0),
            ),
            models.CheckConstraint(name="nothing_is_not_asked", condition=~Q(amount=0)),
        ]
        # By day alone: with `withdrawn_on` in it SQLite would take it for one agreement's charges.
        indexes = [models.Index(fields=["due_on"], name="payments_due_by_day")]

    def __str__(self) -> str:
        return f"{self.amount} due {self.due_on}"


class How(models.TextChoices):
    CASH = "cash", "cash"
    CHECK = "check", "check"
    CARD = "card", "card, in the terminal"
    TRANSFER = "transfer", "bank transfer"
    # Money that a customer had paid for an agreement that went on with another plan.
    MOVED = "moved", "moved between agreements"


# What somebody can hand over or send.
PAYABLE = [How.CASH, How.CHECK, How.CARD, How.TRANSFER]


def new_key() -> str:
    """What makes a form's second sending known: each form shown has a key of its own."""
    return uuid.uuid4().hex


class MoneyMoved(models.Model):
    """What payments and refunds have in common."""

    on = models.DateField()
    amount = models.DecimalField(max_digits=8, decimal_places=2, help_text="USD")
    how = models.CharField(max_length=8, choices=How.choices)
    reference = models.CharField(
        max_length=40, blank=True, help_text="Number of the check or of the transfer; no card data"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    key = models.CharField(max_length=32, unique=True, default=new_key, editable=False)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{self.amount} on {self.on}"


def _a_check_has_its_number(name: str) -> models.CheckConstraint:
    return models.CheckConstraint(name=name, condition=~Q(how=How.CHECK) | ~Q(reference=""))


class PaymentQuerySet(models.QuerySet["Payment"]):
    def of(self, branch: Branch) -> PaymentQuerySet:
        return self.filter(agreement__home__customer__branch=branch)


class Payment(MoneyMoved):
    """Money that came in. `reverses`: this row takes another one back."""

    agreement = models.ForeignKey(Agreement, on_delete=models.PROTECT, related_name="payments")
    reverses = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="reversal"
    )
    why = models.CharField(max_length=200, blank=True, help_text="Why it was reversed")

    objects = PaymentQuerySet.as_manager()

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="only_a_counter_entry_is_negative",
                condition=Q(amount__gt=0, reverses=None)
                | Q(amount__lt=0, reverses__isnull=False)
                | (Q(how=How.MOVED) & ~Q(amount=0)),
            ),
            models.CheckConstraint(
                name="a_reversal_says_why", condition=Q(reverses=None) | ~Q(why="")
            ),
            _a_check_has_its_number("a_check_has_its_number"),
        ]
        indexes = [models.Index(fields=["on"], name="payments_by_day")]


class Refund(MoneyMoved):
    """Money that went back."""

    agreement = models.ForeignKey(Agreement, on_delete=models.PROTECT, related_name="refunds")
    why = models.CharField(max_length=200)

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.CheckConstraint(name="a_refund_is_above_zero", condition=Q(amount__gt=0)),
            models.CheckConstraint(name="a_refund_says_why", condition=~Q(why="")),
            _a_check_has_its_number("a_refund_check_has_its_number"),
        ]

    @property
    def minus(self) -> Decimal:
        """As it stands in a list of what came in."""
        return -self.amount
