"""Two people who edit one row: the second is shown the difference, and nothing is lost.

A form shown carries a print of each field as it was then. When it comes back, `saved` locks the
row and compares: what somebody else changed meanwhile is put beside what was typed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from hashlib import blake2s
from typing import Any

from django import forms
from django.db import models, transaction
from django.forms.models import model_to_dict
from django.http import Http404, QueryDict


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that two people changed, or only the other."""

    label: str
    yours: str
    theirs: str
    yours_stays: bool
    """False: you had left it alone, so the form now holds theirs."""


class WatchedForm(forms.ModelForm):
    """A form of a row that others may change while it is open."""

    one_for = ""
    """The one-to-one field of a row that is made when it is first needed: two may make it."""
    differences: tuple[Difference, ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen_name = f"seen_{self._meta.model._meta.model_name}"
        if self.is_on_file():
            self.fields[self.seen_name] = forms.CharField(
                required=False, widget=forms.HiddenInput(attrs={"autocomplete": "off"})
            )

    def is_on_file(self) -> bool:
        """False: a new row, which nobody else can be editing."""
        return self.instance.pk is not None or self._parent() is not None

    def _parent(self) -> models.Model | None:
        """What the row is the only one of, once that is on file."""
        parent = getattr(self.instance, self.one_for) if self.one_for else None
        return parent if parent is not None and parent.pk else None

    def stored(self, instance: Any) -> dict[str, Any]:
        """The fields of a row as it is on file, in the types that cleaning gives."""
        return model_to_dict(instance, fields=list(self.fields))

    def locked(self) -> Any | None:
        """The row as it is on file now, locked until the transaction ends."""
        if not self.is_on_file():
            return None
        rows = type(self.instance)._base_manager.select_for_update()
        if parent := self._parent():
            type(parent)._base_manager.select_for_update().get(pk=parent.pk)
            return rows.filter(**{self.one_for: parent}).first()
        if (found := rows.filter(pk=self.instance.pk).first()) is None:
            raise Http404("Somebody took this away meanwhile.")
        return found

    def full_clean(self) -> None:
        if self.is_bound:  # cleaning writes into the instance, so look at it before
            self._as_found = prints(self.stored(self.instance))
        super().full_clean()

    def get_initial_for_field(self, field: forms.Field, field_name: str) -> Any:
        if field_name == self.seen_name:
            return folded(prints(self.stored(self.instance)))
        return super().get_initial_for_field(field, field_name)

    def meet(self, now: Any) -> None:
        """Compare with the row as it is on file; afterwards the instance is it, with our fields."""
        theirs = self.stored(now)
        # A form without prints (a script's) is compared with what the request itself found.
        seen = unfolded(self.cleaned_data.get(self.seen_name, "")) or self._as_found
        changed = [
            name
            for name, value in theirs.items()
            if seen.get(name) != print_of(value)
            and name in self.cleaned_data
            and print_of(self.cleaned_data[name]) != print_of(value)
        ]
        mine = {name for name in changed if seen.get(name) != print_of(self.cleaned_data[name])}
        self.differences = tuple(self._difference(name, theirs, name in mine) for name in changed)
        if changed:
            self._hold(theirs, [name for name in changed if name not in mine])
        self._stand_on(now)

    def _difference(self, name: str, theirs: dict[str, Any], mine: bool) -> Difference:
        field = self.fields[name]
        label = str(self[name].label)
        yours = in_words(field, self.cleaned_data[name])
        return Difference(label, yours, in_words(field, theirs[name]), mine)

    def _hold(self, theirs: dict[str, Any], untouched: list[str]) -> None:
        """Fill what was left alone with theirs, and remember that theirs was seen."""
        sent = self.data
        assert isinstance(sent, QueryDict)  # only what a browser sent can differ
        data = sent.copy()
        for name in untouched:
            data.setlist(self.add_prefix(name), as_sent(self.fields[name], theirs[name]))
        data[self.add_prefix(self.seen_name)] = folded(prints(theirs))
        self.data = data

    def _stand_on(self, now: Any) -> None:
        """Columns that the form does not show are theirs, so that saving writes nothing old."""
        for column in self.instance._meta.concrete_fields:
            if column.name not in self.fields:
                setattr(self.instance, column.attname, getattr(now, column.attname))
        self.instance._state.adding = False


@transaction.atomic
def saved(*some_forms: WatchedForm, by: Callable[[], object]) -> bool:
    """Save valid forms; False: somebody wrote since they were shown, and they say what."""
    for form in some_forms:
        if (now := form.locked()) is not None:
            form.meet(now)
    if any(form.differences for form in some_forms):
        return False
    by()
    return True


def as_sent(field: forms.Field, value: Any) -> list[str]:
    """What a browser would send for this value."""
    if isinstance(field.widget, forms.CheckboxInput):
        return ["on"] if value else []
    shown = field.widget.format_value(field.prepare_value(value))
    if shown is None:
        return []
    return [str(one) for one in shown] if isinstance(shown, list | tuple) else [str(shown)]


def in_words(field: forms.Field, value: Any) -> str:
    """A value for people."""
    if isinstance(field.widget, forms.CheckboxInput):
        return "yes" if value else "no"
    choices: Any = getattr(field, "choices", None) or getattr(field.widget, "choices", ())
    labels = {str(key): str(label) for key, label in choices}
    return ", ".join(labels.get(one, one) for one in as_sent(field, value)) or "nothing"


def prints(values: dict[str, Any]) -> dict[str, str]:
    return {name: print_of(value) for name, value in values.items()}


def print_of(value: Any) -> str:
    """The same for values that mean the same, however they came."""
    return blake2s(_plain(value).encode(), digest_size=6).hexdigest()


def _plain(value: Any) -> str:
    match value:
        case None:
            return ""
        case Decimal():
            return f"{value.normalize():f}"
        case bool() | int() | str() | float():
            return str(value)
        case dt.date() | dt.time():
            return value.isoformat()
        case models.Model():
            return str(value.pk)
        case list() | tuple() | set():
            return ",".join(sorted(map(_plain, value)))
    raise TypeError(f"{type(value)} is not compared yet")


def folded(marks: dict[str, str]) -> str:
    return " ".join(f"{name}={mark}" for name, mark in marks.items())


def unfolded(text: str) -> dict[str, str]:
    pairs = (part.partition("=") for part in text.split())
    return {name: mark for name, _, mark in pairs}
