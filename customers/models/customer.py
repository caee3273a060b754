"""Who buys the agreement and answers the telephone."""

from __future__ import annotations

from django.db import models

from shop.models import Branch


class Language(models.TextChoices):
    ENGLISH = "en", "English"
    SPANISH = "es", "Spanish"


class CustomerQuerySet(models.QuerySet["Customer"]):
    def of(self, branch: Branch) -> CustomerQuerySet:
        return self.filter(branch=branch)


class Customer(models.Model):
    """A person or family; may own several homes."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="customers")
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=20, blank=True, help_text="E.164, as +14145550123")
    second_phone = models.CharField(max_length=20, blank=True)
    email = models.EmailField(blank=True)
    language = models.CharField(max_length=2, choices=Language.choices, default=Language.ENGLISH)
    notes = models.TextField(blank=True)

    objects = CustomerQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(name="customer_has_a_name", condition=~models.Q(name=""))
        ]
        indexes = [models.Index(fields=["branch", "name"], name="homes_list_by_name")]

    def __str__(self) -> str:
        return self.name
