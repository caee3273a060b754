"""Who changed what of an agreement, and when: one row for each verb, never changed."""

from __future__ import annotations

from django.db import models

from agreements.models.agreement import Agreement
from agreements.models.plan import Plan
from shop.models import User


class What(models.TextChoices):
    MADE = "made", "Made"
    REPRICED = "repriced", "Price changed"
    SENT = "sent", "Sent to be signed"
    SIGNED = "signed", "Signed"
    RENEWED = "renewed", "Renewed"
    DECLINED = "declined", "Renewal declined"
    PLAN_CHANGED = "plan_changed", "Plan changed"
    PASSED_ON = "passed_on", "Passed on with the home"
    PAUSED = "paused", "Paused"
    RESUMED = "resumed", "Resumed"
    CANCELLED = "cancelled", "Cancelled"
    PAID = "paid", "Payment"
    REVERSED = "reversed", "Payment reversed"
    REFUNDED = "refunded", "Refund"
    COMPLAINT = "complaint", "Complaint"


class AgreementEvent(models.Model):
    """`by` None: the customer through her link, or Redbud by itself; the words say which."""

    agreement = models.ForeignKey(Agreement, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(max_length=14, choices=What.choices)
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(name="an_event_says_something", condition=~models.Q(words=""))
        ]

    def __str__(self) -> str:
        return f"{self.get_what_display()}: {self.words}"


class PlanEvent(models.Model):
    """Who called a plan otherwise or stopped to sell it; its terms are kept as versions."""

    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    words = models.CharField(max_length=400)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="a_plans_event_says_something", condition=~models.Q(words="")
            )
        ]

    def __str__(self) -> str:
        return f"{self.plan}: {self.words}"
