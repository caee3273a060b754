"""An owed visit in a season: where it stands, and why."""

from __future__ import annotations

import datetime as dt

from django.db import models
from django.db.models import F, Q

from agreements.models import OwedVisit, VisitKind
from kit.when import moment_at
from scheduling import states
from scheduling.models.season import Season
from scheduling.models.technician import Technician

# What a visit is for when only its test is still owed; beside the kinds of owed visits.
TEST_ONLY = "test_only"


class State(models.TextChoices):
    OWED = states.OWED, "Owed"
    PENCILLED = states.PENCILLED, "Pencilled"
    OFFERED = states.OFFERED, "Offered"
    PROMISED = states.PROMISED, "Promised"
    HELD = states.HELD, "Held"
    DONE = states.DONE, "Done"
    MISSED = states.MISSED, "Missed"
    WAIVED = states.WAIVED, "Waived"


class VisitQuerySet(models.QuerySet["Visit"]):
    def for_season(self, season: Season) -> VisitQuerySet:
        return self.filter(season=season)

    def owed(self) -> VisitQuerySet:
        return self.filter(state=State.OWED)

    def held(self) -> VisitQuerySet:
        return self.filter(state=State.HELD)

    def placed(self) -> VisitQuerySet:
        return self.filter(state__in=states.WITH_A_SLOT)

    def open(self) -> VisitQuerySet:
        """What is still to be carried out."""
        return self.exclude(state__in=[State.DONE, State.WAIVED])

    def on(self, day: dt.date, season: Season) -> VisitQuerySet:
        """Visits that start on this day of the branch's clock."""
        zone = season.branch.zone
        first, last = moment_at(day, 0, zone), moment_at(day + dt.timedelta(days=1), 0, zone)
        return self.for_season(season).filter(starts_at__gte=first, starts_at__lt=last)

    def needing_warmth(self) -> VisitQuerySet:
        return self.filter(owed_visit__kind__in=[VisitKind.COOLING, VisitKind.BOTH])

    def with_home(self) -> VisitQuerySet:
        """Everything that a list of visits shows, in one query."""
        return self.select_related("owed_visit__agreement__home__customer", "technician")


class Visit(models.Model):
    """One owed visit in one season. Its slot is a technician and a start-end time, or none."""

    owed_visit = models.OneToOneField(OwedVisit, on_delete=models.PROTECT, related_name="visit")
    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="visits")
    state = models.CharField(max_length=10, choices=State.choices, default=State.OWED)
    technician = models.ForeignKey(
        Technician, null=True, blank=True, on_delete=models.PROTECT, related_name="visits"
    )
    starts_at = models.DateTimeField(null=True, blank=True)
    ends_at = models.DateTimeField(null=True, blank=True)
    # Raised on every change, so that a plan made from older facts is recognised.
    version = models.PositiveIntegerField(default=0)

    # Cleaned on a day that was too cold to test: only the short visit that tests is still owed.
    test_only = models.BooleanField(default=False)

    # Of the customer's calendar entry: raised whenever a slot that she was told of changes.
    sequence = models.PositiveIntegerField(default=0)

    # Why it stands where it stands, as the plan saw it; None: no plan has spoken.
    warmth = models.FloatField(null=True, blank=True)
    travel_added_min = models.FloatField(null=True, blank=True)

    held_since = models.DateTimeField(null=True, blank=True)
    # For a held or an unplaced visit: what stands in the way, and what will release it.
    why = models.CharField(max_length=300, blank=True)
    release = models.CharField(max_length=300, blank=True)

    objects = VisitQuerySet.as_manager()

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="a_slot_is_whole_and_only_where_the_state_has_one",
                condition=Q(
                    state__in=states.WITH_A_SLOT,
                    technician__isnull=False,
                    starts_at__isnull=False,
                    ends_at__isnull=False,
                )
                | (
                    ~Q(state__in=states.WITH_A_SLOT)
                    & Q(technician=None, starts_at=None, ends_at=None)
                ),
            ),
            models.CheckConstraint(
                name="a_slot_ends_after_it_starts",
                condition=Q(starts_at=None) | Q(ends_at__gt=F("starts_at")),
            ),
            models.CheckConstraint(
                name="a_held_visit_says_since_when_and_why",
                condition=(~Q(state=State.HELD) & Q(held_since=None))
                | (Q(state=State.HELD, held_since__isnull=False) & ~Q(why="") & ~Q(release="")),
            ),
            models.UniqueConstraint(
                fields=["technician", "starts_at"],
                condition=Q(state__in=(states.PENCILLED, states.OFFERED, states.PROMISED)),
                name="a_technician_starts_one_visit_at_a_time",
            ),
        ]
        indexes = [
            models.Index(fields=["season", "state"], name="season_counts_states"),
            models.Index(fields=["technician", "starts_at"], name="day_lists_a_route"),
            models.Index(fields=["season", "starts_at"], name="ribbon_stacks_visits"),
        ]

    def __str__(self) -> str:
        return f"{self.owed_visit} ({self.state})"

    @property
    def slot(self) -> tuple[dt.datetime, dt.datetime]:
        """Start and end of a placed visit; the database keeps both or neither."""
        if self.starts_at is None or self.ends_at is None:
            raise ValueError(f"{self} has no slot.")
        return self.starts_at, self.ends_at

    @property
    def slot_or_none(self) -> tuple[dt.datetime, dt.datetime] | None:
        return self.slot if self.starts_at else None

    @property
    def needs_warmth(self) -> bool:
        return self.owed_visit.needs_warmth

    @property
    def kind(self) -> str:
        """What it is for, as kit.words.check_kind words it."""
        return TEST_ONLY if self.test_only else self.owed_visit.kind


class Workday(models.Model):
    """A technician's day, as a row to lock: whoever books into it raises its version.

    SQLite has no exclusion constraint, so two bookings that would overlap are
    kept apart by this row on both databases.
    """

    technician = models.ForeignKey(Technician, on_delete=models.CASCADE, related_name="workdays")
    day = models.DateField()
    version = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["technician", "day"], name="one_workday_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.technician}, {self.day}"
