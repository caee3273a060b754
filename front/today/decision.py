"""One line of the screen Today, and one step of a shop that begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_REASONS = 3


@dataclass(frozen=True, slots=True)
class Decision:
    """One line of the screen: how many of what, where to see them, and why they wait."""

    count: int
    words: str
    url: str
    link: str
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """Something that is missing before a season can be planned, and how to come by it."""

    title: str
    words: str
    url: str = ""
    link: str = ""


@dataclass(frozen=True, slots=True)
class Today:
    """The whole screen."""

    steps: tuple[Step, ...]
    decisions: tuple[Decision, ...]
    backup: str


def first(reasons: Sequence[str]) -> tuple[str, ...]:
    """The first few of a long list, and how many more there are."""
    if len(reasons) <= MOST_REASONS:
        return tuple(reasons)
    return (*reasons[:MOST_REASONS], f"and {len(reasons) - MOST_REASONS:,} more")
