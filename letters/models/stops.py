"""What a customer does not want to get, and addresses that cannot be reached."""

from __future__ import annotations

from django.db import models
from django.db.models import Exists, OuterRef, Subquery

from customers.models import Customer
from letters.models.letter import Letter
from shop.models import Branch


class Stop(models.Model):
    """A customer stopped a kind of reminder; an empty kind stops every letter."""

    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="stops")
    kind = models.CharField(max_length=24, blank=True)
    since = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["customer", "kind"], name="a_kind_is_stopped_once")
        ]

    def __str__(self) -> str:
        return f"{self.customer} stopped {self.kind or 'everything'}"


class BadAddressQuerySet(models.QuerySet["BadAddress"]):
    def of(self, branch: Branch) -> BadAddressQuerySet:
        """Those that letters of the branch were written to."""
        written_to = Letter.objects.of(branch).to_address(OuterRef("email"))
        return self.filter(Exists(written_to))

    def with_customers(self, branch: Branch) -> BadAddressQuerySet:
        """Each with the `customer_pk` and `customer_name` whom the newest letter to it was for."""
        newest = Letter.objects.of(branch).to_address(OuterRef("email"))
        return self.annotate(
            customer_pk=Subquery(newest.values("customer")[:1]),
            customer_name=Subquery(newest.values("customer__name")[:1]),
        )

    def unseen(self) -> BadAddressQuerySet:
        return self.filter(seen=False)


class BadAddress(models.Model):
    """An address that bounced for good, or whose owner complained. Nothing more goes there."""

    class Why(models.TextChoices):
        BOUNCED = "bounced", "The address does not exist"
        COMPLAINED = "complained", "The recipient reported a letter as unwanted"

    email = models.EmailField(unique=True)
    why = models.CharField(max_length=12, choices=Why.choices)
    words = models.CharField(max_length=300, blank=True)
    since = models.DateTimeField()
    seen = models.BooleanField(default=False, help_text="The office has seen it")

    objects = BadAddressQuerySet.as_manager()

    class Meta:
        ordering = ["seen", "-since", "-pk"]
        verbose_name_plural = "bad addresses"

    def __str__(self) -> str:
        return f"{self.email}: {self.get_why_display()}"
