"""What a field of a check list is: its name, its unit, what may be typed into it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Range = tuple[float, float]
Value = float | str | bool
FieldKind = Literal["number", "choice", "yes_no", "look"]
CheckList = Literal["cooling", "furnace", "heat_pump"]
Section = Literal[
    "safety", "conditions", "air", "refrigerant", "electrical", "combustion", "heating", "condition"
]

SECTIONS: dict[Section, str] = {
    "safety": "Safety first",
    "conditions": "Conditions of the test",
    "air": "Air",
    "refrigerant": "Refrigerant",
    "electrical": "Electrical",
    "combustion": "Gas and flame",
    "heating": "Heating",
    "condition": "What you see",
}
"""The parts of a check list in the order in which they are worked through, with their titles."""

LOOKS = (("pass", "Good"), ("attention", "Needs attention"), ("fail", "Must be put right"))
YES_NO = (("yes", "Yes"), ("no", "No"))


@dataclass(frozen=True)
class Field:
    """One reading. `hard` refuses, `soft` asks; None is no bound. Bounds include their ends.

    Both may be narrower for one equipment: `bounds.hard_range` and `bounds.soft_range`.
    `choices` pairs what is stored with what is shown. A number's `unit` also ends its name.
    """

    name: str
    label: str
    unit: str = ""
    kind: FieldKind = "number"
    group: Section = "conditions"
    checks: tuple[CheckList, ...] = ("cooling",)
    hard: Range | None = None
    soft: Range | None = None
    choices: tuple[tuple[str, str], ...] = ()
    decimals: int = 0
    hint: str = ""


def look(name: str, label: str, *checks: CheckList, hint: str = "") -> Field:
    """Something to look at: good, needs attention, or must be put right."""
    return Field(name, label, "", "look", "condition", checks, choices=LOOKS, hint=hint)


def yes_no(name: str, label: str, group: Section, *checks: CheckList, hint: str = "") -> Field:
    return Field(name, label, "", "yes_no", group, checks, choices=YES_NO, hint=hint)


def choice(
    name: str, label: str, group: Section, choices: tuple[tuple[str, str], ...], *checks: CheckList
) -> Field:
    return Field(name, label, "", "choice", group, checks, choices=choices)
