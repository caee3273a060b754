"""What the office is asked after the weather was looked at again: proposals, step by step."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import models
from django.db.models import Q

from scheduling.models.season import Season
from scheduling.models.technician import Technician
from scheduling.models.visit import Visit
from shop.models import Branch


class StepState(models.TextChoices):
    PROPOSED = "proposed", "Proposed"
    AGREED = "agreed", "Agreed"
    REFUSED = "refused", "Refused"
    OVERTAKEN = "overtaken", "Overtaken"
    WITHDRAWN = "withdrawn", "Withdrawn"


class What(models.TextChoices):
    LATER = "later", "Later the same day"
    SWAP = "swap", "Swap with work that needs no warmth"
    ANOTHER_DAY = "another_day", "Another day"
    HOLD = "hold", "Hold for warmth"
    MAKE_ROOM = "make_room", "Makes room"
    RELEASE = "release", "Release from the hold"
    FILL = "fill", "Come sooner, at short notice"


REPAIRS = (What.LATER, What.SWAP, What.ANOTHER_DAY, What.HOLD, What.MAKE_ROOM)


class SeasonWatch(models.Model):
    """The last look at a season's weather, so that one outlook is looked at once."""

    season = models.OneToOneField(Season, on_delete=models.CASCADE, related_name="watch")
    looked_at = models.DateTimeField()
    # None: on the climate alone.
    forecast_at = models.DateTimeField(null=True, blank=True)
    source = models.CharField(max_length=120)
    # For the page: scheduling.looking.seen_by.
    seen = models.JSONField(default=dict, blank=True)

    def __str__(self) -> str:
        return f"{self.season}, {self.source}"


class Repair(models.Model):
    """What one look at the weather proposed. Its steps are agreed to or refused one by one."""

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="repairs")
    made_at = models.DateTimeField()
    forecast_at = models.DateTimeField(null=True, blank=True)
    source = models.CharField(max_length=120)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.season}, {self.source}"


class RepairStepQuerySet(models.QuerySet["RepairStep"]):
    def of(self, branch: Branch) -> RepairStepQuerySet:
        return self.filter(repair__season__branch=branch)

    def for_season(self, season: Season) -> RepairStepQuerySet:
        return self.filter(repair__season=season)

    def proposed(self) -> RepairStepQuerySet:
        return self.filter(state=StepState.PROPOSED)

    def refused(self) -> RepairStepQuerySet:
        return self.filter(state=StepState.REFUSED)

    def leading(self) -> RepairStepQuerySet:
        """Without those that only go along with another."""
        return self.filter(goes_with=None)

    def with_home(self) -> RepairStepQuerySet:
        """Everything that a list of steps shows, in one query."""
        return self.select_related(
            "visit__owed_visit__agreement__home__customer",
            "from_technician", "to_technician", "repair", "visit__season__branch",
        )  # fmt: skip


class RepairStep(models.Model):
    """One visit, from its slot to another or to none, with the reason in words."""

    repair = models.ForeignKey(Repair, on_delete=models.CASCADE, related_name="steps")
    # A visit that gives its time to another moves with it, or not at all.
    goes_with = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="companions"
    )
    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="repair_steps")
    # Of the visit, as the proposal saw it.
    version = models.PositiveIntegerField()
    what = models.CharField(max_length=12, choices=What.choices)
    state = models.CharField(max_length=10, choices=StepState.choices, default=StepState.PROPOSED)
    from_technician = models.ForeignKey(
        Technician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    from_starts_at = models.DateTimeField(null=True, blank=True)
    to_technician = models.ForeignKey(
        Technician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    to_starts_at = models.DateTimeField(null=True, blank=True)
    to_ends_at = models.DateTimeField(null=True, blank=True)
    why = models.CharField(max_length=300)
    warmth_before = models.FloatField(null=True, blank=True)
    warmth_after = models.FloatField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    # Why it was overtaken or withdrawn.
    ended_why = models.CharField(max_length=200, blank=True)

    objects = RepairStepQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit"],
                condition=Q(state=StepState.PROPOSED),
                name="a_visit_is_asked_about_once_at_a_time",
            ),
            models.CheckConstraint(
                name="a_step_leads_to_a_whole_slot_or_to_none",
                condition=Q(to_technician=None, to_starts_at=None, to_ends_at=None)
                | Q(
                    to_technician__isnull=False,
                    to_starts_at__isnull=False,
                    to_ends_at__isnull=False,
                ),
            ),
            models.CheckConstraint(
                name="a_step_without_a_slot_holds_or_makes_room",
                condition=Q(to_starts_at__isnull=False) | Q(what__in=(What.HOLD, What.MAKE_ROOM)),
            ),
            models.CheckConstraint(
                name="a_decided_step_says_when",
                condition=Q(state=StepState.PROPOSED) | Q(decided_at__isnull=False),
            ),
        ]
        indexes = [models.Index(fields=["state", "repair"], name="watch_lists_steps")]

    def __str__(self) -> str:
        return f"{self.get_what_display()}: {self.visit}"

    @property
    def to_slot(self) -> tuple[Technician, dt.datetime, dt.datetime]:
        """Technician, start and end of the proposed slot; the database keeps all or none."""
        if self.to_technician is None or self.to_starts_at is None or self.to_ends_at is None:
            raise ValueError(f"{self} leads to no slot.")
        return self.to_technician, self.to_starts_at, self.to_ends_at
