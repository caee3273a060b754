"""Why something from a phone is not simply taken over."""

from __future__ import annotations


class Kept(ValueError):
    """Something else had changed meanwhile: nothing is overwritten, the event is kept."""


class Asked(ValueError):
    """Possible, but odd: the phone asks "are you sure?" and sends it again.

    `instead`: another reading of what was typed; None is no suggestion.
    """

    def __init__(self, question: str, instead: float | None = None) -> None:
        super().__init__(question)
        self.instead = instead
