"""Links that stand in letters: signed, for one purpose, expiring, revocable."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q

from customers.models import Customer


class LinkQuerySet(models.QuerySet["Link"]):
    def live(self, now: dt.datetime) -> LinkQuerySet:
        return self.filter(revoked_at=None).filter(Q(expires_at=None) | Q(expires_at__gt=now))

    def expired(self, now: dt.datetime) -> LinkQuerySet:
        """Past their end, and not yet written down as ended."""
        return self.filter(revoked_at=None, expires_at__lte=now)


class Link(models.Model):
    """The row says what a link is for and until when; the signature in it is made when needed."""

    customer = models.ForeignKey(
        Customer, null=True, blank=True, on_delete=models.CASCADE, related_name="links"
    )
    purpose = models.CharField(max_length=20)
    about = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = LinkQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["purpose", "about"], name="links_of_a_thing"),
            # For the sweep, which looks each half minute.
            models.Index(
                fields=["expires_at"], name="links_that_will_end",
                condition=Q(revoked_at=None, expires_at__isnull=False),
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.purpose} {self.about}"
