"""What a technician goes through, in versions: a record keeps the list of its day."""

from __future__ import annotations

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models

from fieldwork.check_lists import BadItem, Item, read_items
from shop.models import Branch


class CheckListKind(models.TextChoices):
    COOLING = "cooling", "Cooling check"
    HEATING = "heating", "Heating check"
    BOTH = "both", "Cooling and heating check"
    HEAT_PUMP = "heat_pump", "Heat pump"


def check_items(rows: object) -> None:
    """Refuse anything that is not a list of items."""
    try:
        read_items(rows if isinstance(rows, list) else [{}])
    except (BadItem, TypeError) as trouble:
        raise ValidationError(str(trouble)) from trouble


class CheckList(models.Model):
    """One for each branch and kind of check."""

    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="check_lists")
    kind = models.CharField(max_length=10, choices=CheckListKind.choices)

    class Meta:
        ordering = ["branch", "kind"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "kind"], name="one_check_list_of_a_kind")
        ]

    def __str__(self) -> str:
        return self.get_kind_display()


class CheckListVersion(models.Model):
    """The items as they stood from `made_at` on; never changed, a new version is made instead."""

    check_list = models.ForeignKey(CheckList, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    # As fieldwork.check_lists.Item.as_dict writes them, in order.
    items = models.JSONField(validators=[check_items])
    made_at = models.DateTimeField()
    # None: Redbud's own.
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["check_list", "-number"]
        constraints = [
            models.UniqueConstraint(
                fields=["check_list", "number"], name="a_list_has_each_version_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.check_list}, version {self.number}"

    def lines(self) -> tuple[Item, ...]:
        return read_items(self.items)
