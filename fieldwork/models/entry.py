"""One thing typed at a home. Every entry stays; the latest of a field counts."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from customers.models import System
from fieldwork.models.phone import PhoneEvent
from fieldwork.models.record import Record
from fieldwork.readings import FIELDS
from fieldwork.readings.fields.field import LOOKS


class Entry(models.Model):
    """`field` is a name of fieldwork.readings.FIELDS or an own look; `value` None: taken back."""

    record = models.ForeignKey(Record, on_delete=models.CASCADE, related_name="entries")
    system = models.ForeignKey(System, on_delete=models.PROTECT, related_name="entries")
    field = models.CharField(max_length=60)
    typed = models.CharField(max_length=80, blank=True)
    # A number in the field's unit, a chosen word, or true and false.
    value = models.JSONField(null=True)
    note = models.CharField(max_length=300, blank=True)
    # The technician was asked about an odd value, and said yes.
    sure = models.BooleanField(default=False)
    # The moment of typing on the phone, by the server's clock.
    made_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    event = models.OneToOneField(PhoneEvent, on_delete=models.PROTECT, related_name="entry")

    class Meta:
        ordering = ["made_at", "pk"]
        indexes = [models.Index(fields=["system", "field", "made_at"], name="trend_of_a_reading")]

    def __str__(self) -> str:
        return f"{self.label}: {self.shown}"

    @property
    def label(self) -> str:
        known = FIELDS.get(self.field)
        return known.label if known else self.field.removeprefix("own_").replace("_", " ")

    @property
    def shown(self) -> str:
        """The value with its unit; the words of a choice."""
        field = FIELDS.get(self.field)
        if self.value is None:
            return "not given"
        if field is None or field.kind != "number":
            return dict(field.choices if field else LOOKS).get(self.typed, self.typed)
        return f"{self.value:.{field.decimals}f} {field.unit}".strip()
