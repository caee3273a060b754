"""A spreadsheet on its way in, and what the office settled about it."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256

from django.db import models
from django.db.models import Q

from customers.models import Home
from shop.models import Branch, User


class SpreadsheetImportQuerySet(models.QuerySet["SpreadsheetImport"]):
    def of(self, branch: Branch) -> SpreadsheetImportQuerySet:
        """Those of a branch; a file's content is fetched when it is read."""
        return self.filter(branch=branch).defer("content")

    def with_headings(self, headings: Sequence[str]) -> SpreadsheetImportQuerySet:
        """Those whose columns were matched for the same set of headings, newest first."""
        return self.filter(headings_key=headings_key(headings)).exclude(matching={})


class SpreadsheetImport(models.Model):
    """An uploaded file, kept as it came; its rows are read again whenever they are looked at."""

    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="imports")
    file_name = models.CharField(max_length=200)
    content = models.BinaryField()
    headings_key = models.CharField(max_length=64)
    matching = models.JSONField(
        default=dict, blank=True, help_text="heading: field, or empty; {} until it is settled"
    )
    # Spreadsheet row: "apart", "row-12" or "home-7", the answer to an offer to merge.
    decisions = models.JSONField(default=dict, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="imports")
    brought_in_at = models.DateTimeField(null=True, blank=True)
    brought_in_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    counts = models.JSONField(
        default=dict, blank=True, help_text="new, changed, same, refused, alike at that time"
    )

    objects = SpreadsheetImportQuerySet.as_manager()

    class Meta:
        ordering = ["-created_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="import_is_brought_in_by_somebody",
                condition=Q(brought_in_at=None, brought_in_by=None)
                | Q(brought_in_at__isnull=False, brought_in_by__isnull=False),
            )
        ]
        indexes = [
            models.Index(fields=["branch", "headings_key"], name="columns_are_remembered_by")
        ]

    def __str__(self) -> str:
        return self.file_name


class HomeSpelling(models.Model):
    """Another way in which spreadsheets write a home; the office said that it is the same."""

    home = models.ForeignKey(Home, on_delete=models.CASCADE, related_name="spellings")
    name = models.CharField(max_length=120)
    street = models.CharField(max_length=120)
    unit = models.CharField(max_length=20, blank=True)
    zip = models.CharField(max_length=5)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["home", "name", "street", "unit", "zip"], name="spelling_is_kept_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.street} {self.unit}".strip()


def headings_key(headings: Sequence[str]) -> str:
    """Under which a set of headings is known, whatever their order and capitals."""
    words = "\n".join(sorted(heading.casefold() for heading in headings))
    return sha256(words.encode()).hexdigest()
