"""The settings by which a branch promises cooling checks."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any


class PolicyRefused(ValueError):
    """A setting that makes no sense. The message is a sentence for the person who chose it."""


def _setting(default: float, words: str, least: float, most: float) -> Any:
    return field(default=default, metadata={"words": words, "least": least, "most": most})


@dataclass(frozen=True)
class Policy:
    """How sure, how early and with whom. Limits are warmth (0 to 1), days are calendar days.

    The defaults were chosen on Springfield 2016-17, three New York airports in 2013 and fifteen
    springs of Champion, Nebraska, whose hours were made from daily extremes: the boldest that
    test 98 of 100 warm. `frontier` shows what else can be had.
    """

    first_booking_limit: float = _setting(
        0.78, "least warmth of a slot at the last day on which it can still be given", 0.0, 1.0
    )
    hold_limit: float = _setting(
        0.78, "a promised slot less warm than this at the last look is called off", 0.0, 1.0
    )
    pull_forward_limit: float = _setting(
        0.97, "least warmth at which a slot is promised earlier than it need be", 0.0, 1.0
    )
    notice_days: int = _setting(2, "the shortest notice of a new slot", 0, 14)
    promise_days: int = _setting(
        7, "how far ahead a slot is promised at most; a forecast reaches seven days", 0, 90
    )
    short_notice_share: float = _setting(
        0.35, "share of customers who agreed to be called at short notice", 0.0, 1.0
    )
    test_temperature_f: float = _setting(55.0, "outdoors, °F; colder is no test", 30.0, 90.0)
    short_notice_days: int = _setting(
        0, "how late those on the short-notice list may be called; 0: the same morning", 0, 7
    )
    last_look_days: int = _setting(
        0, "how late a promise may be called off; 0: the same morning", 0, 7
    )

    def __post_init__(self) -> None:
        for one in fields(self):
            value, (least, most) = getattr(self, one.name), _range(one.metadata)
            if not least <= value <= most:
                raise PolicyRefused(
                    f"{one.name} is {value:g}; it must lie in {least:g} to {most:g}."
                )
        if self.promise_days < self.notice_days:
            raise PolicyRefused(
                f"promise_days is {self.promise_days} and notice_days {self.notice_days}: "
                "nothing can be promised later than the notice."
            )


def _range(metadata: Any) -> tuple[float, float]:
    return metadata["least"], metadata["most"]
