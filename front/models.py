"""What Redbud knows of its own keeping."""

from __future__ import annotations

from django.db import models

from customers.models import Customer
from shop.models import Branch, User


class Backup(models.Model):
    """One backup; `verified_at`: it was restored somewhere and everything came back."""

    made_at = models.DateTimeField()
    file = models.CharField(max_length=300)
    bytes = models.PositiveBigIntegerField(default=0)
    verified_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=500, blank=True, help_text="Why it did not come about")

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M}: {self.trouble or self.file}"


class CompanyExport(models.Model):
    """Who took the whole company out, and when."""

    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    bytes = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} by {self.made_by}"


class Erasure(models.Model):
    """Whose personal data were taken out, when and by whom; the database keeps the row."""

    customer = models.OneToOneField(Customer, on_delete=models.PROTECT, related_name="erasure")
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.customer}, {self.at:%Y-%m-%d}"


class InterfaceKeyQuerySet(models.QuerySet["InterfaceKey"]):
    def live(self) -> InterfaceKeyQuerySet:
        return self.filter(revoked_at=None)


class InterfaceKey(models.Model):
    """Lets a program read some of one branch. Its words are shown once; kept is their digest."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="interface_keys")
    name = models.CharField(max_length=80, help_text="What it is for")
    begins = models.CharField(max_length=12, help_text="By which people know it again")
    digest = models.CharField(max_length=64, unique=True, help_text="SHA-256 of the whole key")
    scopes = models.JSONField(default=list)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = InterfaceKeyQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="a_key_of_the_interface_says_what_for", condition=~models.Q(name="")
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.begins}…)"
