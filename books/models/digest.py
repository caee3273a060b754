"""What a finished record found, short enough to be counted by the database."""

from __future__ import annotations

from django.db import models
from django.db.models import Exists, OuterRef, Q

from fieldwork.models import Entry, Record
from fieldwork.models.record import RecordQuerySet
from scheduling.models import Season


class RecordDigest(models.Model):
    """`test`: how the cooling test was judged, the worst of the systems; empty: there was none.

    `act` and `watch`: the groups (A to F, fieldwork.readings.GROUPS) in which something is to be
    repaired or watched; "!" is an emergency.
    """

    record = models.OneToOneField(Record, on_delete=models.CASCADE, related_name="digest")
    read_at = models.DateTimeField()
    test = models.CharField(max_length=12, blank=True)
    act = models.CharField(max_length=8, blank=True)
    watch = models.CharField(max_length=8, blank=True)
    # The weather and the house let the charge be judged: a test that stayed owed was not for cold.
    testable = models.BooleanField(default=False)

    class Meta:
        indexes = [models.Index(fields=["test"], name="books_count_tests")]

    def __str__(self) -> str:
        return f"{self.record}: {self.test}"


def unread(season: Season) -> RecordQuerySet:
    """Finished records without a digest, or with readings that came after it."""
    later = Entry.objects.filter(record=OuterRef("pk")).filter(
        Q(event__received_at__gt=OuterRef("digest__read_at"))
        | Q(event__settled_at__gt=OuterRef("digest__read_at"))
    )
    finished = Record.objects.filter(visit__season=season).completed()
    return finished.filter(Q(digest=None) | Exists(later))
