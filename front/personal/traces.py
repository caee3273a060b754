"""Where words that name a customer may stand besides her own rows, and what still names her."""

from __future__ import annotations

import json
from collections.abc import Iterator

from django.apps import apps
from django.contrib.admin.models import LogEntry
from django.db import models
from django.db.models import Q, QuerySet
from django.db.models.functions import Cast

from agreements.models import AgreementEvent
from customers.models import Customer
from scheduling.models import RepairStep, Trip, Visit, VisitEvent

# Free words of other customers' rows: "Gives its time to Nora Whitfield".
FREE_WORDS: tuple[tuple[type[models.Model], str], ...] = (
    (AgreementEvent, "words"),
    (VisitEvent, "words"),
    (Visit, "why"),
    (Trip, "why"),
    (RepairStep, "why"),
    (RepairStep, "ended_why"),
    (LogEntry, "object_repr"),
    (LogEntry, "change_message"),
)
# Columns in which a person can be named.
_WORDS = (models.CharField, models.TextField, models.JSONField)
LEAST_LETTERS = 6  # shorter words name nobody: "Li" stands in every other word


def names_of(customer: Customer) -> set[str]:
    """Her name, addresses and telephones, as they may stand in words."""
    found = {customer.name, customer.email}
    for phone in (customer.phone, customer.second_phone):
        digits = phone.removeprefix("+1")
        found |= {digits, f"({digits[:3]}) {digits[3:6]}-{digits[6:]}"} if digits else set()
    found |= {home.street for home in customer.homes.all()}
    return {name for name in found if len(name) >= LEAST_LETTERS}


def naming(model: type[models.Model], field: str, names: set[str]) -> QuerySet[models.Model]:
    """Rows whose column holds one of the names, in small or capital letters.

    As text also where it is JSON, in which letters beyond ASCII may stand as numbers.
    """
    holds = Q()
    for name in names | {json.dumps(name)[1:-1] for name in names}:
        holds |= Q(as_text__icontains=name)
    rows = model._default_manager.alias(as_text=Cast(field, models.TextField()))
    return rows.filter(holds) if names else rows.none()


def still_naming(names: set[str]) -> list[str]:
    """Columns of the whole database that still hold a name, with how many rows do.

    Usually another person of the same name, or the other half of a couple with one telephone.
    """
    return [
        f"{model._meta.verbose_name}, {field.verbose_name}: {count}"
        for model, field in _columns()
        if (count := naming(model, field.name, names).count())
    ]


def _columns() -> Iterator[tuple[type[models.Model], models.Field]]:
    for model in apps.get_models():
        if model._meta.managed:
            for field in model._meta.concrete_fields:
                if isinstance(field, _WORDS) and not field.choices:
                    yield model, field
