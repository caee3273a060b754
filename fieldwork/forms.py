"""The office's form about a check list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from fieldwork.check_lists import ITEM_KINDS, ONLY_AT, BadItem, Item, built_in_items, read_items
from fieldwork.check_lists.items import LONGEST_WORDS, OWN
from fieldwork.models import CheckListVersion
from fieldwork.readings import SECTIONS
from fieldwork.readings.fields.field import Section

ADDED = {kind: words for kind, words in ITEM_KINDS.items() if kind != "reading"}


@dataclass(frozen=True)
class Row:
    """An item with its three bound fields."""

    item: Item
    listed: forms.BoundField
    en: forms.BoundField
    es: forms.BoundField


class CheckListForm(forms.Form):
    """Which items are in the list, in whose words, and perhaps a new one.

    `number`: the version that was changed, so that two people at once are noticed.
    """

    number = forms.IntegerField(widget=forms.HiddenInput)
    new_kind = forms.ChoiceField(choices=list(ADDED.items()), required=False, label="What it is")
    new_group = forms.ChoiceField(choices=list(SECTIONS.items()), required=False, label="Part")
    new_only = forms.ChoiceField(choices=list(ONLY_AT.items()), required=False, label="Shown at")
    new_en = forms.CharField(max_length=LONGEST_WORDS, required=False, label="Words, English")
    new_es = forms.CharField(max_length=LONGEST_WORDS, required=False, label="Words, Spanish")

    def __init__(self, *args: Any, version: CheckListVersion, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.version = version
        listed = version.lines()
        keys = {item.key for item in listed}
        left_out = [i for i in built_in_items(version.check_list.kind) if i.key not in keys]
        self.offered = [*listed, *left_out]
        self.initial["number"] = version.number
        for item in self.offered:
            must = item.kind != "reading"
            self.fields[f"in-{item.key}"] = forms.BooleanField(
                required=False, initial=item.key in keys, label=item.words()
            )
            self.fields[f"en-{item.key}"] = _words(item.en, f"{item.words()}, English", must)
            self.fields[f"es-{item.key}"] = _words(item.es, f"{item.words()}, Spanish", False)

    def parts(self) -> Iterator[tuple[str, list[Row]]]:
        """The offered items, part by part."""
        for part, title in SECTIONS.items():
            rows = [self._row(item) for item in self.offered if item.group == part]
            if rows:
                yield title, rows

    def _row(self, item: Item) -> Row:
        return Row(
            item, *(self[f"{column}-{item.key}"] for column in ("in", "en", "es"))
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        super().clean()
        if self.cleaned_data.get("number") not in (None, self.version.number):
            raise ValidationError(
                "Somebody else changed this list meanwhile. Your words are still here: "
                "compare them with the newest version, then save again."
            )
        if not self.errors:
            self._make_items()
        return self.cleaned_data

    def _make_items(self) -> None:
        """Set `items`: what the new version consists of."""
        cleaned = self.cleaned_data
        kept = [
            replace(item, en=cleaned[f"en-{item.key}"], es=cleaned[f"es-{item.key}"])
            for item in self.offered
            if cleaned[f"in-{item.key}"]
        ]
        try:
            if cleaned["new_en"]:
                kept.append(self._new_item({item.key for item in self.offered}))
            self.items = read_items([item.as_dict() for item in kept])
        except BadItem as bad:
            raise ValidationError(str(bad)) from bad
        if not any(item.kind != "caution" for item in self.items):
            raise ValidationError("A check list has at least one thing to read or to look at.")

    def _new_item(self, taken: set[str]) -> Item:
        cleaned = self.cleaned_data
        stem = re.sub(r"[^a-z0-9]+", "_", cleaned["new_en"].lower()).strip("_")[:40] or "look"
        start = OWN if cleaned["new_kind"] == "look" else f"caution_{OWN}"
        key, number = f"{start}{stem}", 2
        while key in taken:
            key, number = f"{start}{stem}_{number}", number + 1
        return Item(
            key, cleaned["new_kind"], cast(Section, cleaned["new_group"]),
            cleaned["new_en"], cleaned["new_es"], cleaned["new_only"],
        )  # fmt: skip


def _words(initial: str, label: str, must: bool) -> forms.CharField:
    return forms.CharField(max_length=LONGEST_WORDS, required=must, initial=initial, label=label)
