"""What was promised to whom, on which terms, and until when."""

from __future__ import annotations

import datetime as dt

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q

from agreements.models.plan import Plan, PlanVersion
from agreements.money.proration import Span
from agreements.money.schedule import MONTHLY, YEARLY
from agreements.terms import Term, term
from customers.models import Customer, Home, System
from shop.models import Branch


class Rhythm(models.TextChoices):
    YEARLY = YEARLY, "once a year"
    MONTHLY = MONTHLY, "every month"


class Ended(models.TextChoices):
    """Why an agreement ended before its term."""

    CANCELLED = "cancelled", "cancelled"
    PLAN_CHANGED = "plan_changed", "went on with another plan"
    DECLINED = "declined", "the next term was not wanted"


class AgreementQuerySet(models.QuerySet["Agreement"]):
    def of(self, branch: Branch) -> AgreementQuerySet:
        return self.filter(home__customer__branch=branch)

    def running_on(self, day: dt.date) -> AgreementQuerySet:
        return self.running_between(day, day)

    def running_between(self, first: dt.date, last: dt.date) -> AgreementQuerySet:
        return self.not_ended_by(first).filter(starts_on__lte=last, ends_on__gte=first)

    def not_ended_by(self, day: dt.date) -> AgreementQuerySet:
        """Neither cancelled nor ended in another way before its term; perhaps after `day`."""
        return self.filter(Q(cancelled_on=None) | Q(cancelled_on__gt=day))

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


class AgreementManager(models.Manager.from_queryset(AgreementQuerySet)):  # type: ignore[misc]
    """Brings the terms along: hardly anything is said of an agreement without them."""

    def get_queryset(self) -> AgreementQuerySet:
        return super().get_queryset().select_related("version")


class Agreement(models.Model):
    """One term of a promise for one home. A renewal is the next row, with the same anchor."""

    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="agreements")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="agreements")
    version = models.ForeignKey(
        PlanVersion,
        on_delete=models.PROTECT,
        related_name="agreements",
        help_text="The terms it was made on; they stay whatever becomes of the plan",
    )
    systems = models.ManyToManyField(System, related_name="agreements", blank=True)
    anchor_on = models.DateField(help_text="First day of the first term; later terms count from it")
    term_number = models.PositiveSmallIntegerField(default=0)
    starts_on = models.DateField()
    ends_on = models.DateField(help_text="Last day of the term")
    price = models.DecimalField(
        max_digits=8, decimal_places=2, validators=[MinValueValidator(0)], help_text="USD this term"
    )
    renews = models.BooleanField(default=True, help_text="The customer agreed to renewal")
    rhythm = models.CharField(max_length=8, choices=Rhythm.choices, default=Rhythm.YEARLY)
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.CharField(max_length=120, blank=True, help_text="The name that was signed")
    paused_from = models.DateField(null=True, blank=True)
    paused_until = models.DateField(null=True, blank=True, help_text="Last day of the pause")
    cancelled_on = models.DateField(
        null=True, blank=True, help_text="First day without it, when it ends before its term"
    )
    ended_because = models.CharField(max_length=14, choices=Ended.choices, blank=True)
    why_ended = models.CharField(max_length=200, blank=True)
    declined_on = models.DateField(
        null=True, blank=True, help_text="When the customer said that it is not to be renewed"
    )
    why_declined = models.CharField(max_length=200, blank=True)
    acquired_from = models.ForeignKey(
        Customer,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="agreements_passed_on",
        help_text="Who held it before the home was sold",
    )

    objects = AgreementManager()

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
            models.CheckConstraint(
                name="a_signed_agreement_says_who_and_when",
                condition=Q(signed_at=None, signed_by="")
                | (Q(signed_at__isnull=False) & ~Q(signed_by="")),
            ),
            models.CheckConstraint(
                name="a_pause_ends_after_it_starts",
                condition=Q(paused_from=None, paused_until=None)
                | Q(paused_from__isnull=False, paused_until__gte=F("paused_from")),
            ),
            models.CheckConstraint(
                name="a_reason_to_end_has_its_day",
                condition=Q(ended_because="") | Q(cancelled_on__isnull=False),
            ),
            models.CheckConstraint(
                name="agreement_ends_within_its_term",
                condition=Q(cancelled_on=None)
                | Q(cancelled_on__gte=F("starts_on"), cancelled_on__lte=F("ends_on"))
                | Q(ended_because=""),
            ),
            models.CheckConstraint(
                name="a_declined_renewal_does_not_renew",
                condition=Q(declined_on=None) | Q(renews=False),
            ),
        ]
        indexes = [models.Index(fields=["ends_on"], name="agreements_ending_soon")]

    def __str__(self) -> str:
        return f"{self.plan} · {self.home}"

    @property
    def term(self) -> Term:
        return Term(self.term_number, self.starts_on, self.ends_on)

    @property
    def span(self) -> Span:
        """Its days as they were sold, whether it ended early or not."""
        return Span(self.starts_on, self.ends_on)

    @property
    def customer(self) -> Customer:
        return self.home.customer

    def next_term(self) -> Term:
        terms = self.version if self.version_id else self.plan  # unsaved, on its way in
        return term(self.anchor_on, terms.term_months, self.term_number + 1)

    @property
    def last_day(self) -> dt.date:
        """The last day on which it holds."""
        if self.cancelled_on is None:
            return self.ends_on
        return self.cancelled_on - dt.timedelta(days=1)
