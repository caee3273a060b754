"""A subject of judgement: its title, and what it says of a value within, below and above limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fieldwork.readings.verdicts import GROUPS, Group, Outcome, Verdict
from fieldwork.readings.words import allowed, amount

HAIR = 1e-9
"""Floating point only: 42.3 of 45 µF is -6.0 %, not a hair more. Values are never rounded."""
Side = Literal["below", "within", "above"]
_NEAR = {
    True: "Nearer to a limit than the instruments can tell.",
    False: "Nearer to a limit than the instruments can tell: measure once more.",
}


def side_of(value: float, low: float | None, high: float | None) -> Side:
    """Where a value lies; the limits themselves are within."""
    if low is not None and value < low - HAIR:
        return "below"
    if high is not None and value > high + HAIR:
        return "above"
    return "within"


def is_borderline(value: float, low: float | None, high: float | None, error: float) -> bool:
    """Whether a limit is nearer than the instruments can tell."""
    return any(limit is not None and abs(value - limit) < error for limit in (low, high))


@dataclass(frozen=True)
class Subject:
    """`below` and `above` tell the technician what to do; the `plain` ones are for the customer."""

    key: str
    group: Group
    title: str
    unit: str = ""
    decimals: int = 0
    below: str = ""
    above: str = ""
    plain_within: str = ""
    plain_below: str = ""
    plain_above: str = ""

    def compared(
        self,
        value: float,
        low: float | None,
        high: float | None,
        source: str,
        *,
        used: tuple[str, ...],
        target: float | None = None,
        error: float = 0.0,
        below: Outcome = Outcome.ACT,
        above: Outcome = Outcome.ACT,
        provisional: bool = False,
        note: str = "",
    ) -> Verdict:
        """The verdict on a value. `below` and `above` say how bad it is on either side.

        `note` is told to the technician behind the figures.
        """
        side = side_of(value, low, high)
        borderline = is_borderline(value, low, high, error)
        return Verdict(
            self.key, self.group, self.title,
            {"below": below, "within": Outcome.WITHIN, "above": above}[side],
            sentence=self._sentence(value, low, high, side, borderline, note),
            plain={"below": self.plain_below, "within": self.plain_within,
                   "above": self.plain_above}[side],
            value=value, unit=self.unit, target=target, low=low, high=high,
            limit_source=source, borderline=borderline, provisional=provisional, used=used,
        )  # fmt: skip

    def cannot(
        self,
        reason: str,
        *,
        missing: tuple[str, ...] = (),
        not_on_file: tuple[str, ...] = (),
        applies: bool = True,
        source: str = "",
        used: tuple[str, ...] = (),
        plain: str = "",
    ) -> Verdict:
        """No verdict, and why. The customer reads of the group, not of the subject's trade word."""
        name = self.title if self.group == "F" else GROUPS[self.group]
        plain = plain or (f"{name}: could not be judged on this visit." if applies else "")
        return Verdict(
            self.key, self.group, self.title, Outcome.CANNOT_JUDGE, reason, plain, unit=self.unit,
            limit_source=source, applies=applies, used=used, missing=missing,
            not_on_file=not_on_file,
        )  # fmt: skip

    def _sentence(
        self,
        value: float,
        low: float | None,
        high: float | None,
        side: Side,
        borderline: bool,
        note: str,
    ) -> str:
        shown = amount(value, self.unit, self.decimals)
        limits = allowed(low, high, self.unit, self.decimals)
        advice = {"below": self.below, "within": "", "above": self.above}[side]
        doubt = _NEAR[side == "within"] if borderline else ""
        parts = (f"{self.title} {shown}; within limits is {limits}.", note, advice, doubt)
        return " ".join(part for part in parts if part)
