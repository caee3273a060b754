"""The verb that keeps what a season was last counted to be."""

from __future__ import annotations

import datetime as dt

from books.models import SeasonTally
from books.season_books import SeasonBooks


def keep_tally(*, books: SeasonBooks, cold_min: tuple[int, int], now: dt.datetime) -> SeasonTally:
    """For seasons to come to be compared with."""
    kept, _ = SeasonTally.objects.update_or_create(
        season=books.season,
        defaults={
            "counted_at": now,
            "counts": books.counts,
            "waited": [books.waited_days, books.waited_most_days],
            "done_by_week": books.done_by_week,
            "cold_min": cold_min,
        },
    )
    return kept
