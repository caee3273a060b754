"""One trip to a visit: what was read, judged, done and signed there."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import Q

from fieldwork.models.check_list import CheckListVersion
from scheduling.models import Technician, Visit
from shop.models import Branch


class Outcome(models.TextChoices):
    OPEN = "", "Not finished yet"
    DONE = "done", "Done"
    TEST_OWED = "test_owed", "Done, but the cooling test is still owed"
    TOO_COLD = "too_cold", "Too cold to test"
    NOBODY_HOME = "nobody_home", "Nobody home"
    NOT_FINISHED = "not_finished", "Could not finish"


class RecordQuerySet(models.QuerySet["Record"]):
    def of(self, branch: Branch) -> RecordQuerySet:
        return self.filter(visit__season__branch=branch)

    def by(self, technician: Technician) -> RecordQuerySet:
        return self.filter(technician=technician)

    def on(self, day: dt.date) -> RecordQuerySet:
        return self.filter(day=day)

    def completed(self) -> RecordQuerySet:
        return self.exclude(completed_at=None)


class Record(models.Model):
    """A visit whose first trip was too cold has two: one for each day that somebody drove there."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="records")
    day = models.DateField()
    technician = models.ForeignKey(Technician, on_delete=models.PROTECT, related_name="records")
    version = models.ForeignKey(CheckListVersion, on_delete=models.PROTECT, related_name="records")

    # When the slot began; None: the visit had none any more. Stays when the visit loses its slot.
    slot_starts_at = models.DateTimeField(null=True, blank=True)
    # Corrected times of the phone's buttons; None: the button was not pressed.
    on_the_way_at = models.DateTimeField(null=True, blank=True)
    arrived_at = models.DateTimeField(null=True, blank=True)
    left_at = models.DateTimeField(null=True, blank=True)

    outcome = models.CharField(max_length=12, choices=Outcome.choices, blank=True)
    why = models.CharField(max_length=200, blank=True)
    completed_at = models.DateTimeField(null=True, blank=True)

    # {str(system.pk): fieldwork.judgements.stored(...)}, and the rules it was judged by.
    judgement = models.JSONField(default=dict, blank=True)
    rules_version = models.CharField(max_length=40, blank=True)

    # None: not said.
    customer_present = models.BooleanField(null=True, blank=True)
    signed_name = models.CharField(max_length=120, blank=True)
    signature = models.FileField(upload_to="signatures/%Y/%m/", blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)
    # Of the technician, EPA section 608: needed where refrigerant was added or recovered.
    certificate_608 = models.CharField(max_length=40, blank=True)

    objects = RecordQuerySet.as_manager()

    class Meta:
        ordering = ["day", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["visit", "day"], name="one_record_a_visit_and_day"),
            models.CheckConstraint(
                name="a_completed_record_has_its_outcome",
                condition=Q(outcome="", completed_at=None)
                | (~Q(outcome="") & Q(completed_at__isnull=False)),
            ),
            models.CheckConstraint(
                name="a_signature_has_its_name_and_time",
                condition=Q(signed_name="", signed_at=None)
                | (~Q(signed_name="") & Q(signed_at__isnull=False)),
            ),
        ]
        indexes = [models.Index(fields=["technician", "day"], name="my_day_lists_records")]

    def __str__(self) -> str:
        return f"{self.visit.owed_visit.home}, {self.day}"
