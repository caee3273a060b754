"""Questions to the office about rows that may be one, and its answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from agreements.imports.outcomes import APART, Choice
from agreements.imports.targets import home_key
from customers.spreadsheet.likeness import Offer


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered: the offer that was taken, or None for "keep apart"."""

    value: str
    offer: Offer | None


def choices_of(offers: Sequence[Offer]) -> tuple[Choice, ...]:
    """Every answer, the likeliest first, "keep apart" last; none when nothing was asked."""
    if not offers:
        return ()
    return (*(Choice(_value(o), _words(o)) for o in offers), Choice(APART, "keep apart"))


def asks_of(offers: Sequence[Offer]) -> tuple[str, ...]:
    """Why each is asked, with its likeness of 100."""
    return tuple(f"{o.reason[0].upper()}{o.reason[1:]}; {o.score:.0f} of 100" for o in offers)


def answer_to(offers: Sequence[Offer], decision: str) -> Answer | None:
    """The answer given, or None when there is none that still makes sense."""
    if not offers or not decision:
        return None
    if decision == APART:
        return Answer(APART, None)
    return next((Answer(decision, offer) for offer in offers if _value(offer) == decision), None)


def _value(offer: Offer) -> str:
    if offer.known is None:
        return f"row-{offer.other_row}"
    _, pk = home_key(offer.known)
    return f"home-{pk}"


def _words(offer: Offer) -> str:
    one = "one home" if offer.what == "home" else "one customer with two homes"
    return f"{one}, with " + (f"row {offer.other_row}" if offer.other_row else "the home on file")
