"""What is known of a home, what it was sent, and what a reminder is. Plain values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from reminders.words import Sentence, Words

ReminderKind = Literal["filter", "cover_off", "cover_on", "plants", "rinse", "returns"]


@dataclass(frozen=True, slots=True)
class FilterFacts:
    """One air filter. None means not known.

    `size` as printed on the frame, such as "16x25"; `maker_days` is the maker's own interval and
    goes before ours. Raises ValueError for a thickness or an interval that cannot be.
    """

    id: int
    size: str
    thickness_in: float
    last_changed_on: date | None = None
    maker_days: int | None = None

    def __post_init__(self) -> None:
        if not 0 < self.thickness_in <= 12:
            raise ValueError(f"thickness_in is {self.thickness_in:g}; allowed is 0 to 12 inches.")
        if self.maker_days is not None and self.maker_days < 1:
            raise ValueError(f"maker_days is {self.maker_days}; it must be 1 or more.")

    @property
    def inches(self) -> str:
        """As printed on the frame: "16x25x1", or "1" when the size is not known."""
        size = f"{self.size.strip()}x" if self.size.strip() else ""
        return f"{size}{self.thickness_in:g}"

    @property
    def name(self) -> str:
        """For people: "16x25x1 inch filter", or "1 inch filter" when the size is not known."""
        return f"{self.inches} inch filter"


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeFacts:
    """A home as far as reminders care. None means not known, and is never taken for yes.

    `heat_pump`: the outdoor unit heats too and must stay bare all winter. `stopped_kinds`: the
    reminders that the customer has stopped.
    """

    id: int
    filters: tuple[FilterFacts, ...] = ()
    pets: bool | None = None
    smokers: bool | None = None
    dusty: bool | None = None
    constant_fan: bool | None = None
    winter_cover: bool | None = None
    ice_falls_on_unit: bool | None = None
    plants_near_unit: bool | None = None
    high_low_returns: bool | None = None
    cools: bool = True
    heats: bool = True
    heat_pump: bool = False
    next_cooling_check: date | None = None
    stopped_kinds: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Sent:
    """A reminder that is already on its way or was sent: its kind, what about, its day."""

    kind: str
    about: str
    on: date


@dataclass(frozen=True, slots=True)
class Reminder:
    """One reminder that is due.

    `about`: the filter's id as text, "cooling" or "heating" for returns, else "". `occasion`
    is unique in a home, so that the database can refuse a double. `said` tells the homeowner why
    now, sentence by sentence; `reasons` are the ids of what counted.
    """

    kind: ReminderKind
    about: str
    occasion: str
    due_on: date
    said: tuple[Sentence, ...]
    reasons: tuple[str, ...]
    cautions: tuple[Words, ...]

    @property
    def why(self) -> str:
        """Why now, in English."""
        return " ".join(sentence.english() for sentence in self.said)


def about_of(occasion: str) -> str:
    """What a reminder was about, from its occasion: "filter:17:2027-04-01" is about "17"."""
    parts = occasion.split(":")
    return parts[1] if len(parts) == 3 else ""
