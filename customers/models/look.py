"""Who looked at what a home keeps from strangers: its gate code and the notes about it."""

from __future__ import annotations

import datetime as dt

from django.db import models

from customers.models.home import Home
from shop.models import Branch, User

# Looks of one person at one home on one screen within this are one row: a phone fetches its day
# again and again.
ONE_LOOK = dt.timedelta(minutes=10)
# The database refuses to lose a younger one; the night takes out older ones (front.tasks).
LEAST_KEPT_DAYS = 90


class Screen(models.TextChoices):
    """Where it was shown, which tells why it was asked for."""

    HOME = "home", "page of the home"
    CHANGE_HOME = "change", "changing the home"
    CHANGE_CUSTOMER = "customer", "changing the customer"
    DAY = "day", "my day, on the phone"
    SHEET = "sheet", "day sheet, on paper"
    EXPORT = "export", "copy of the customer's data"


class HomeLookQuerySet(models.QuerySet["HomeLook"]):
    def of(self, branch: Branch) -> HomeLookQuerySet:
        return self.filter(home__customer__branch=branch)

    def matching(self, words: str) -> HomeLookQuerySet:
        """Looks at homes that hold every one of the words (see Home.search_text)."""
        found = self
        for word in words.split():
            found = found.filter(home__search_text__contains=word)
        return found

    def before(self, moment: dt.datetime) -> HomeLookQuerySet:
        return self.filter(at__lt=moment)


class HomeLook(models.Model):
    """One look; the database neither changes a row nor lets a young one go."""

    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="looks")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    screen = models.CharField(max_length=10, choices=Screen.choices)
    at = models.DateTimeField()
    # `at` cut down to ONE_LOOK, so that the same look is not written twice.
    span = models.DateTimeField(editable=False)

    objects = HomeLookQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["home", "by", "screen", "span"], name="a_look_is_written_once"
            )
        ]
        indexes = [models.Index(fields=["at"], name="looks_are_forgotten_by_age")]

    def __str__(self) -> str:
        return f"{self.by} at {self.home}, {self.at:%Y-%m-%d %H:%M}: {self.get_screen_display()}"
