"""What a branch sells: plans, and the terms on which each agreement was made, frozen."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from agreements.money.proration import BY_DAYS, BY_VISITS, KEEP_DAYS, KEEP_VISITS, WHOLE_PRICE
from shop.models import Branch, User

MOST_NOTICE_DAYS = 120


class ProrationRule(models.TextChoices):
    """What an agreement costs that begins inside a term."""

    WHOLE_PRICE = WHOLE_PRICE, "the whole price"
    BY_DAYS = BY_DAYS, "the price of the days that are left"
    BY_VISITS = BY_VISITS, "the price of the visits that are left"


class RefundRule(models.TextChoices):
    """What goes back when an agreement ends early."""

    UNEARNED_DAYS = KEEP_DAYS, "the price of the days that are left"
    PRICE_LESS_VISITS = KEEP_VISITS, "the price less the visits carried out, each as bought alone"


def _dollars(**more: Any) -> models.DecimalField:
    return models.DecimalField(
        max_digits=8, decimal_places=2, validators=[MinValueValidator(0)], **more
    )


class PlanTerms(models.Model):
    """The terms of a plan: what it promises and what it costs. Money in USD."""

    price = _dollars(help_text="USD a term")
    further_system_price = _dollars(default=0)
    term_months = models.PositiveSmallIntegerField(
        default=12, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )
    cooling_checks = models.PositiveSmallIntegerField(default=1, validators=[MaxValueValidator(4)])
    heating_checks = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(4)])
    together = models.BooleanField(
        default=False, help_text="Both checks in one visit, where it is warm enough outdoors"
    )
    repair_discount_percent = models.PositiveSmallIntegerField(
        default=0, validators=[MaxValueValidator(100)]
    )
    no_overtime_charge = models.BooleanField(default=False)
    priority = models.BooleanField(default=False, help_text="Repair calls come before others")
    notice_days = models.PositiveSmallIntegerField(
        default=30,
        validators=[MaxValueValidator(MOST_NOTICE_DAYS)],
        help_text="Days before the end by which each side says that it does not go on",
    )
    proration_rule = models.CharField(
        max_length=16, choices=ProrationRule.choices, default=ProrationRule.BY_DAYS
    )
    refund_rule = models.CharField(
        max_length=20, choices=RefundRule.choices, default=RefundRule.UNEARNED_DAYS
    )
    cooling_alone = _dollars(default=0, help_text="USD for a cooling check bought alone")
    heating_alone = _dollars(default=0, help_text="USD for a heating check bought alone")

    class Meta:
        abstract = True

    def price_for(self, systems: int) -> Decimal:
        """The price of a term for that many systems (at least one)."""
        return Decimal(self.price) + Decimal(self.further_system_price) * max(systems - 1, 0)

    def alone(self, kind: str) -> Decimal:
        """The price of a visit of this kind bought alone."""
        prices = {"cooling": self.cooling_alone, "heating": self.heating_alone}
        return prices.get(kind, self.cooling_alone + self.heating_alone)

    @property
    def checks(self) -> dict[str, Any]:
        """What a term owes, as agreements.terms wants it."""
        return {
            "cooling": self.cooling_checks,
            "heating": self.heating_checks,
            "together": self.together,
        }

    def terms(self) -> dict[str, Any]:
        """Every field of the terms, to write them down again."""
        return {field.name: getattr(self, field.name) for field in PlanTerms._meta.fields}


def _terms_make_sense(prefix: str) -> list[models.CheckConstraint]:
    """Both of a plan and of its versions; a constraint's name is one table's."""
    return [
        models.CheckConstraint(
            name=f"{prefix}_promises_a_check",
            condition=Q(cooling_checks__gt=0) | Q(heating_checks__gt=0),
        ),
        models.CheckConstraint(
            name=f"{prefix}_discount_is_a_percentage",
            condition=Q(repair_discount_percent__lte=100),
        ),
        models.CheckConstraint(
            name=f"{prefix}_keeps_visits_at_a_price",
            condition=~Q(refund_rule=KEEP_VISITS)
            | ((Q(cooling_checks=0) | Q(cooling_alone__gt=0))
               & (Q(heating_checks=0) | Q(heating_alone__gt=0))),
        ),
    ]  # fmt: skip


class Plan(PlanTerms):
    """What a branch offers. Its terms are those on offer today; a sale is made on a version."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="plans")
    name = models.CharField(max_length=80)
    code = models.SlugField(max_length=30)
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["branch", "name"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "code"], name="plan_code_is_once_a_branch"),
            *_terms_make_sense("plan"),
        ]

    def __str__(self) -> str:
        return self.name


class PlanVersion(PlanTerms):
    """The terms of a plan as they were sold; never changed, because agreements stand on them."""

    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="versions")
    number = models.PositiveSmallIntegerField()
    valid_from = models.DateField(help_text="First day on which a term may begin on it")
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["plan", "number"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "number"], name="version_is_counted_once"),
            *_terms_make_sense("version"),
        ]

    def __str__(self) -> str:
        return f"{self.plan}, version {self.number}"
