"""What an import will write: rows to add, and rows whose fields change."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model

from agreements.imports.outcomes import Difference
from agreements.imports.targets import TargetAgreement
from agreements.models import Plan
from agreements.models.imports import HomeSpelling
from customers.models import Customer, Filter, Home, System
from customers.spreadsheet.outcomes import Note
from kit.when import ALL_HALVES_MASK

# What counts as "nothing on file yet" where a further row only fills gaps.
_BLANKS: dict[str, tuple[Any, ...]] = {
    "halves_mask": (ALL_HALVES_MASK,),
    "short_notice": (False,),
}


@dataclass
class Work:
    """Unsaved rows, each list written before the one below it."""

    plans: list[Plan] = field(default_factory=list)
    customers: list[Customer] = field(default_factory=list)
    homes: list[Home] = field(default_factory=list)
    spellings: list[HomeSpelling] = field(default_factory=list)
    systems: list[System] = field(default_factory=list)
    filters: list[Filter] = field(default_factory=list)
    agreements: list[TargetAgreement] = field(default_factory=list)
    covers: list[tuple[TargetAgreement, System]] = field(default_factory=list)
    # By id of the instance: saved rows with the names of their changed fields.
    changed: dict[int, tuple[Model, set[str]]] = field(default_factory=dict)
    # By id of the agreement: the last checks that its rows tell of.
    last_checks: dict[int, set[dt.date]] = field(default_factory=dict)


@dataclass
class Pen:
    """Sets facts on model instances and keeps what changed.

    Facts that are not stated ("" or None) change nothing. With `fill_only` they only fill what
    is blank: the first row about a home or a customer has the say, so that importing the same
    file again changes nothing.
    """

    work: Work
    differences: list[Difference] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)

    def set(
        self,
        on: Model,
        name: str,
        value: Any,
        *,
        fill_only: bool = False,
        words: Callable[[Any], str] = str,
    ) -> None:
        """Set one field, if the value is stated and other than what is there."""
        current = getattr(on, name)
        blank = current in ("", None) or current in _BLANKS.get(name, ())
        if value in ("", None) or value == current or (fill_only and not blank):
            return
        setattr(on, name, value)
        was = "" if current in ("", None) else words(current)
        self.note(on, _label(on, name), was, words(value), name)

    def add_lines(self, on: Model, name: str, text: str) -> None:
        """Add the lines of a note that are not there yet; none is ever taken away."""
        current: str = getattr(on, name)
        missing = [line for line in text.splitlines() if line not in current.splitlines()]
        if missing:
            setattr(on, name, "\n".join(filter(None, (current, *missing))))
            self.note(on, _label(on, name), "", "\n".join(missing), name)

    def note(self, on: Model, label: str, was: str, becomes: str, *names: str) -> None:
        """Keep a difference of a saved row, to be written; a new row is written whole."""
        if on.pk is None:
            return
        self.differences.append(Difference(label, was, becomes))
        self.work.changed.setdefault(id(on), (on, set()))[1].update(names)

    def added(self, on_file: bool, label: str, what: object) -> None:
        """Keep that something new joins a home on file."""
        if on_file:
            self.differences.append(Difference(label, "", str(what)))


def _label(on: Model, name: str) -> str:
    return str(getattr(on._meta.get_field(name), "verbose_name", name))
