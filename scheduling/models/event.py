"""Who changed a visit's time or state, when, from what and to what: one row a change, kept."""

from __future__ import annotations

from django.db import models

from scheduling.models.technician import Technician
from scheduling.models.visit import State, Visit
from shop.models import User


class VisitEvent(models.Model):
    """`by` None: the customer through her link, or Redbud by itself; the words say which.

    The database neither changes nor loses a row; only its words give way when a customer's
    personal data are taken out.
    """

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    was = models.CharField(max_length=10, choices=State.choices)
    state = models.CharField(max_length=10, choices=State.choices)
    # Where it stood before and stands now; None: without a slot.
    was_technician = models.ForeignKey(
        Technician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    was_starts_at = models.DateTimeField(null=True, blank=True)
    technician = models.ForeignKey(
        Technician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    starts_at = models.DateTimeField(null=True, blank=True)
    words = models.CharField(max_length=300, blank=True, help_text="Why")

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M}: {self.was} to {self.state}"

    @property
    def moved(self) -> bool:
        """Did it leave a slot for another one?"""
        before = (self.was_technician_id, self.was_starts_at)
        now = (self.technician_id, self.starts_at)
        return None not in (*before, *now) and before != now
