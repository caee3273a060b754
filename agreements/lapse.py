"""Who may not renew, and why: points for plain facts, each with its reason in words. Pure.

No model and nothing learned: an office manager can check every point against the file. The points
are our own judgement, no source; they order a telephone list and decide nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Level = Literal["likely to stay", "worth a call", "may not renew"]

MOST = 100
WORTH_A_CALL, MAY_NOT_RENEW = 20, 45

NOT_AGREED_TO_RENEWAL = 30
A_MISSED_VISIT, MOST_FOR_MISSED = 20, 40
A_COMPLAINT, MOST_FOR_COMPLAINTS = 20, 40
A_LATE_SEASON, MOST_FOR_LATE = 10, 20
A_TENTH_DEARER, MOST_FOR_PRICE = 10, 30
UNPAID, UNPAID_LONG, LONG_DAYS = 15, 30, 60
FIRST_YEAR = 15


@dataclass(frozen=True, kw_only=True, slots=True)
class Facts:
    """What is on file about an agreement.

    `missed`: visits that were missed or whose days have passed. `late`: done after their days.
    `price_rise`: the next price over this one less 1 (0.1 is ten per cent). `overdue_days`: of
    the oldest open payment, 0 for none.
    """

    missed: int = 0
    complaints: int = 0
    late: int = 0
    price_rise: Decimal = Decimal(0)
    overdue_days: int = 0
    first_year: bool = False
    agreed_to_renewal: bool = True


@dataclass(frozen=True, slots=True)
class Reason:
    """Points, and the fact they stand for."""

    points: int
    words: str


@dataclass(frozen=True, slots=True)
class Outlook:
    """The sum of the reasons (0 to 100), heaviest reason first."""

    points: int
    level: Level
    reasons: tuple[Reason, ...]


def outlook(facts: Facts) -> Outlook:
    """How likely an agreement lapses, from facts alone."""
    reasons = sorted((r for r in _reasons(facts) if r.points > 0), key=lambda r: -r.points)
    points = min(sum(reason.points for reason in reasons), MOST)
    return Outlook(points, _level(points), tuple(reasons))


def _level(points: int) -> Level:
    if points >= MAY_NOT_RENEW:
        return "may not renew"
    return "worth a call" if points >= WORTH_A_CALL else "likely to stay"


def _reasons(facts: Facts) -> list[Reason]:
    tenths = int(max(facts.price_rise, Decimal(0)) * 10)
    unpaid = UNPAID_LONG if facts.overdue_days > LONG_DAYS else UNPAID
    return [
        Reason(
            min(facts.missed * A_MISSED_VISIT, MOST_FOR_MISSED),
            _counted(facts.missed, "owed visit was missed", "owed visits were missed"),
        ),
        Reason(
            min(facts.complaints * A_COMPLAINT, MOST_FOR_COMPLAINTS),
            _counted(facts.complaints, "complaint", "complaints"),
        ),
        Reason(
            min(facts.late * A_LATE_SEASON, MOST_FOR_LATE),
            _counted(facts.late, "visit came late", "visits came late"),
        ),
        Reason(
            min(tenths * A_TENTH_DEARER, MOST_FOR_PRICE),
            f"the next term costs {facts.price_rise:.0%} more",
        ),
        Reason(
            unpaid if facts.overdue_days > 0 else 0,
            "a payment is overdue by " + _counted(facts.overdue_days, "day", "days"),
        ),
        Reason(FIRST_YEAR if facts.first_year else 0, "this is the first term"),
        Reason(
            0 if facts.agreed_to_renewal else NOT_AGREED_TO_RENEWAL,
            "has not agreed to renewal",
        ),
    ]


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
