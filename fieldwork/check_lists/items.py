"""One line of a check list: a reading, something to look at, or a caution. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from fieldwork.readings import A2L, FIELDS, SECTIONS, Equipment, Field, fields_for
from fieldwork.readings.fields.field import LOOKS, CheckList, Section

ITEM_KINDS = {
    "reading": "Reading that the verdicts know",
    "look": "Own look: good, needs attention, must be put right",
    "caution": "Caution",
}
# At which equipment an own look or a caution is shown.
ONLY_AT = {
    "": "every system",
    "cools": "systems that cool",
    "burns": "systems with a flame",
    "heat_pump": "heat pumps",
    "a2l": "systems with a mildly flammable refrigerant (R-32, R-454B)",
}
OWN = "own_"
LONGEST_WORDS = 300


class BadItem(ValueError):
    """What is wrong with an item, in words."""


@dataclass(frozen=True)
class Item:
    """`key`: of a reading the name of its field; of an own look it begins with "own_".

    `en` and `es` are its words; of a reading they may be empty, then its field's label serves.
    """

    key: str
    kind: str
    group: Section
    en: str = ""
    es: str = ""
    only: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ITEM_KINDS:
            raise BadItem(f"“{self.kind}” is no kind of item; it is {', '.join(ITEM_KINDS)}.")
        if self.group not in SECTIONS:
            raise BadItem(f"“{self.group}” is no part of a check list.")
        if self.only not in ONLY_AT:
            raise BadItem(f"“{self.only}” is no kind of equipment.")
        if self.kind == "reading" and self.key not in FIELDS:
            raise BadItem(f"“{self.key}” is no reading that can be judged.")
        if self.kind == "look" and not re.fullmatch(rf"{OWN}[a-z0-9_]{{1,50}}", self.key):
            raise BadItem(f"An own look's key is {OWN} and small letters, not “{self.key}”.")
        if self.kind != "reading" and not self.en.strip():
            raise BadItem("An own look and a caution need their words.")
        if max(len(self.en), len(self.es)) > LONGEST_WORDS:
            raise BadItem(f"Words of an item have at most {LONGEST_WORDS} letters.")

    @property
    def field(self) -> Field:
        """What is asked: the reading's own field, or a look of the branch."""
        if self.kind == "reading":
            return FIELDS[self.key]
        return Field(self.key, self.en, kind="look", group=self.group, choices=LOOKS)

    def words(self, language: str = "en") -> str:
        own = self.es if language == "es" and self.es else self.en
        return own or self.field.label

    def as_dict(self) -> dict[str, str]:
        return asdict(self)

    def is_at(self, equipment: Equipment) -> bool:
        """Is an own look or a caution shown at this equipment?"""
        return {
            "": True,
            "cools": equipment.cools,
            "burns": equipment.burns,
            "a2l": equipment.refrigerant in A2L,
            "heat_pump": equipment.kind == "heat_pump",
        }[self.only]


def read_items(rows: Iterable[Mapping[str, Any]]) -> tuple[Item, ...]:
    """Items from their stored form. Raises BadItem, also for a key that comes twice."""
    items = tuple(Item(**row) for row in rows)
    keys = [item.key for item in items]
    if twice := {key for key in keys if keys.count(key) > 1}:
        raise BadItem(f"In the list twice: {', '.join(sorted(twice))}.")
    return items


def items_for(
    items: Sequence[Item], equipment: Equipment, lists: tuple[CheckList, ...]
) -> list[tuple[Section, list[Item]]]:
    """What is gone through at one equipment, part by part, in working order; no empty part."""
    asked = {field.name for field in fields_for(equipment, lists)}
    shown = [
        item
        for item in items
        if (item.key in asked if item.kind == "reading" else item.is_at(equipment))
    ]
    parts = [(part, [item for item in shown if item.group == part]) for part in SECTIONS]
    return [(part, found) for part, found in parts if any(i.kind != "caution" for i in found)]
