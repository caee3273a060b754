"""What a clean row says, in the domain's own types. Blank cells are "" or None: not stated.

Kinds, refrigerants, metering devices, plans and languages are the values that the models keep.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from customers.spreadsheet.outcomes import Note
from kit.when import WeekHalves


@dataclass(frozen=True, slots=True)
class CustomerFacts:
    """Who; phones are E.164, `language` is "en", "es" or "" (not stated)."""

    name: str
    phone: str = ""
    second_phone: str = ""
    email: str = ""
    language: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class HomeFacts:
    """Where, and what to know there. `precision` is "exact", "zip" or "unknown" (no point)."""

    street: str
    unit: str
    city: str
    state: str
    zip: str
    latitude: float | None = None
    longitude: float | None = None
    precision: str = "unknown"
    access_notes: str = ""
    gate_code: str = ""
    dog: str = ""
    pets: bool | None = None
    winter_cover: bool | None = None
    high_low_returns: bool | None = None
    halves: WeekHalves | None = None
    short_notice: bool | None = None


@dataclass(frozen=True, slots=True)
class FilterFacts:
    """A filter: `size` in inches as "16x25", or ""; `thickness_in` inches, or None."""

    size: str
    thickness_in: Decimal | None


@dataclass(frozen=True, slots=True)
class SystemFacts:
    """One system."""

    kind: str
    brand: str = ""
    model_number: str = ""
    serial: str = ""
    installed_year: int | None = None
    refrigerant: str = ""
    metering: str = ""
    last_checked_on: dt.date | None = None
    last_checked_by: str = ""
    filter: FilterFacts | None = None


@dataclass(frozen=True, slots=True)
class AgreementFacts:
    """`plan`: a code, of the shop's own plans or "annual" or "semi-annual"; `price` dollars for a
    term, or None; `renews`: whether the customer agreed that the next term begins by itself."""

    plan: str
    started_on: dt.date
    price: Decimal | None = None
    renews: bool | None = None


@dataclass(frozen=True, slots=True)
class CleanRow:
    """One row that can be taken. `systems` has two when the cell named two ("A/C & furnace")."""

    row: int
    customer: CustomerFacts
    home: HomeFacts
    systems: tuple[SystemFacts, ...]
    agreement: AgreementFacts
    notes: tuple[Note, ...] = ()
