"""What was sold: plans and the agreements made on them."""

from __future__ import annotations

import datetime as dt

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from agreements.terms import Term, term
from customers.models import Home, System
from shop.models import Branch


class Plan(models.Model):
    """What a branch offers: the checks of a term and their price."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="plans")
    name = models.CharField(max_length=80)
    code = models.SlugField(max_length=30)
    price = models.DecimalField(
        max_digits=8, decimal_places=2, validators=[MinValueValidator(0)], help_text="USD a term"
    )
    further_system_price = models.DecimalField(
        max_digits=8, decimal_places=2, default=0, validators=[MinValueValidator(0)]
    )
    term_months = models.PositiveSmallIntegerField(
        default=12, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )
    cooling_checks = models.PositiveSmallIntegerField(default=1)
    heating_checks = models.PositiveSmallIntegerField(default=0)
    together = models.BooleanField(
        default=False, help_text="Both checks in one visit, where it is warm enough outdoors"
    )
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["branch", "name"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "code"], name="plan_code_is_once_a_branch"),
            models.CheckConstraint(
                name="plan_promises_a_check",
                condition=Q(cooling_checks__gt=0) | Q(heating_checks__gt=0),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class AgreementQuerySet(models.QuerySet["Agreement"]):
    def of(self, branch: Branch) -> AgreementQuerySet:
        return self.filter(home__customer__branch=branch)

    def running_on(self, day: dt.date) -> AgreementQuerySet:
        return self.filter(starts_on__lte=day, ends_on__gte=day, cancelled_on=None)

    def running_between(self, first: dt.date, last: dt.date) -> AgreementQuerySet:
        return self.filter(starts_on__lte=last, ends_on__gte=first, cancelled_on=None)

    def renewing_without_successor(self) -> AgreementQuerySet:
        """Terms that go on, whose next term is not written down yet."""
        later = Agreement.objects.filter(
            home=models.OuterRef("home"),
            plan=models.OuterRef("plan"),
            starts_on__gt=models.OuterRef("starts_on"),
        )
        return self.filter(~models.Exists(later), renews=True, cancelled_on=None)

    def ending_between(self, first: dt.date, last: dt.date) -> AgreementQuerySet:
        return self.filter(ends_on__range=(first, last), cancelled_on=None)


class Agreement(models.Model):
    """One term of a promise for one home. A renewal is the next row, with the same anchor."""

    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="agreements")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="agreements")
    systems = models.ManyToManyField(System, related_name="agreements", blank=True)
    anchor_on = models.DateField(help_text="First day of the first term; later terms count from it")
    term_number = models.PositiveSmallIntegerField(default=0)
    starts_on = models.DateField()
    ends_on = models.DateField(help_text="Last day of the term")
    price = models.DecimalField(
        max_digits=8, decimal_places=2, validators=[MinValueValidator(0)], help_text="USD this term"
    )
    renews = models.BooleanField(default=True, help_text="The customer agreed to renewal")
    cancelled_on = models.DateField(null=True, blank=True)

    objects = AgreementQuerySet.as_manager()

    class Meta:
        ordering = ["home__customer__name", "starts_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="agreement_ends_after_it_starts", condition=Q(ends_on__gte=F("starts_on"))
            ),
            models.UniqueConstraint(
                fields=["home", "plan", "starts_on"], name="agreement_starts_once_a_day"
            ),
            models.CheckConstraint(
                name="agreement_price_is_not_negative", condition=Q(price__gte=0)
            ),
        ]
        indexes = [models.Index(fields=["ends_on"], name="agreements_ending_soon")]

    def __str__(self) -> str:
        return f"{self.plan} · {self.home}"

    @property
    def term(self) -> Term:
        return Term(self.term_number, self.starts_on, self.ends_on)

    def next_term(self) -> Term:
        return term(self.anchor_on, self.plan.term_months, self.term_number + 1)
