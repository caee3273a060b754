"""What a check found, a line a subject: a mark, a word, and where the reading stands in its range.

The middle of each line's range is what is allowed; the reading is a mark on it, inside or beside.
Words and marks carry the meaning; no colour does. Pure: the words come from the caller.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Sign = Literal["within", "watch", "act", "unjudged"]

# Picture units; one unit is one CSS pixel at the natural size.
WIDTH, HEIGHT = 150.0, 20.0
MIDDLE_Y = HEIGHT / 2
# What is allowed lies between these shares of the width; beyond them is too low and too high.
LOW, HIGH = 0.25, 0.75
EDGE = 0.05  # a reading far outside stands here, so that its mark is not cut


@dataclass(frozen=True, slots=True)
class Finding:
    """One subject. `value` None: nothing to place; `low` or `high` None: no such limit."""

    name: str
    sign: Sign
    word: str
    plain: str = ""
    value: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class RangeMark:
    """The allowed stretch from `from_x`, and the reading's mark; `name` says it in words."""

    from_x: float
    width: float
    mark_x: float
    limits: tuple[float, ...]
    name: str


@dataclass(frozen=True, slots=True)
class VerdictLine:
    """A row of the picture; `range` None: the subject has no number."""

    name: str
    sign: Sign
    word: str
    plain: str
    range: RangeMark | None


@dataclass(frozen=True, slots=True)
class VerdictsPicture:
    """Everything the template writes down."""

    lines: tuple[VerdictLine, ...]
    width: float = WIDTH
    height: float = HEIGHT
    middle_y: float = MIDDLE_Y


def draw_verdicts(findings: Sequence[Finding]) -> VerdictsPicture:
    """Lay out the findings, in their order."""
    return VerdictsPicture(
        tuple(VerdictLine(one.name, one.sign, one.word, one.plain, _range(one)) for one in findings)
    )


def share_of_range(value: float, low: float | None, high: float | None) -> float | None:
    """Where a reading stands, 0 to 1; from LOW to HIGH is what is allowed.

    With one limit only there is no other end to measure from: nought stands at the picture's
    edge for a highest value, and twice the least one in the middle of the allowed stretch.
    None: no limit to measure against.
    """
    if low is not None and high is not None:
        if high <= low:
            return None
        share = LOW + (HIGH - LOW) * (value - low) / (high - low)
    elif high is not None and high > 0:
        share = HIGH * value / high
    elif low is not None and low > 0:
        share = LOW * value / low
    else:
        return None
    return min(max(share, EDGE), 1 - EDGE) if math.isfinite(share) else None


def _range(one: Finding) -> RangeMark | None:
    if one.value is None:
        return None
    share = share_of_range(one.value, one.low, one.high)
    if share is None:
        return None
    first = 0.0 if one.low is None else LOW
    last = 1.0 if one.high is None else HIGH
    limits = [at for at, limit in ((LOW, one.low), (HIGH, one.high)) if limit is not None]
    return RangeMark(
        from_x=round(first * WIDTH, 1),
        width=round((last - first) * WIDTH, 1),
        mark_x=round(share * WIDTH, 1),
        limits=tuple(round(at * WIDTH, 1) for at in limits),
        name=f"{one.name}: {one.word}",
    )
