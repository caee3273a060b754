"""The make-believe contractor's people, and the import of its spreadsheet."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path

from agreements.imports import actions
from scheduling.models import Skill
from shop.models import Branch, Role, User

PASSWORD = "redbud-demo"  # noqa: S105  (of a make-believe shop on one's own machine)


@dataclass(frozen=True)
class Person:
    username: str
    first_name: str
    last_name: str
    role: Role


@dataclass(frozen=True)
class DemoTechnician:
    username: str
    name: str
    skills: tuple[Skill, ...]
    latitude: float
    longitude: float
    days_off: tuple[tuple[dt.date, dt.date, str], ...] = field(default=())


STAFF = (
    Person("office", "Marisol", "Quist", Role.OFFICE),
    Person("owner", "Edwin", "Harrow", Role.OWNER),
    Person("nadia", "Nadia", "Brandt", Role.TECHNICIAN),
    Person("cole", "Cole", "Wrennick", Role.TECHNICIAN),
    Person("teo", "Teo", "Abara", Role.TECHNICIAN),
)

ALL_SKILLS = (Skill.COOLING, Skill.HEATING, Skill.HEAT_PUMP)
TECHNICIANS = (
    DemoTechnician("nadia", "Nadia Brandt", ALL_SKILLS, 43.0607, -88.0065),
    DemoTechnician("cole", "Cole Wrennick", ALL_SKILLS[:2], 43.0117, -88.2315),
    DemoTechnician(
        "teo",
        "Teo Abara",
        ALL_SKILLS[:2],
        42.9506,
        -87.8801,
        ((dt.date(2027, 4, 12), dt.date(2027, 4, 14), "training"),),
    ),
)

# What its technicians fit (front.played_records), USD.
PART_PRICES = {"Capacitor 45/5 µF": "14.20", "Filter 16x25x1": "6.80"}

# The sheet's last checks run to the autumn of 2026; an earlier clock would refuse those rows.
SHEET_DAY = dt.date(2026, 11, 20)


def import_spreadsheet(branch: Branch, file: Path, by: User, today: dt.date) -> str:
    """Bring in the shop's spreadsheet by the same verbs as the Import screen."""
    sheet = actions.upload_spreadsheet(
        branch=branch, file_name=file.name, content=file.read_bytes(), by=by
    )
    matching = actions.first_matching(sheet, actions.sheet_of(sheet))
    actions.settle_columns(sheet_import=sheet, matching=matching)
    counts = actions.bring_in(sheet_import=sheet, by=by, today=max(today, SHEET_DAY))
    return f"{file.name}: " + ", ".join(f"{count} {outcome}" for outcome, count in counts.items())
