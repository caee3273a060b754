"""The stretches of a day in which something is warm enough."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

# From, to: minutes after local midnight.
Span = tuple[int, int]


def warm_spans(values: Sequence[float], least: float, step_min: int = 60) -> tuple[Span, ...]:
    """The stretches in which a value, straight between its points, is at least `least`.

    `values[i]` belongs to minute `i * step_min`; the last one holds until midnight. Serves
    hourly temperatures and half-hourly warmth (`step_min=30`) alike.
    """
    level = [*values, values[-1]]
    spans: list[Span] = []
    for index, (here, there) in enumerate(pairwise(level)):
        start, end = index * step_min, (index + 1) * step_min
        if here < least and there < least:
            continue
        if here < least:
            start = round(start + (least - here) / (there - here) * step_min)
        if there < least:
            end = round(start + (here - least) / (here - there) * (end - start))
        if spans and spans[-1][1] == start:
            start = spans.pop()[0]
        spans.append((start, end))
    return tuple(span for span in spans if span[1] > span[0])
