"""All numbers of the season books, by the word in their address."""

from __future__ import annotations

from books.numbers.found import BY_SUBJECT, EMERGENCIES, READ, RECOMMENDATIONS, found_counts
from books.numbers.number import Kind, Number
from books.numbers.promises import PROMISES
from books.numbers.reminded import REMINDED, reminded_counts
from books.numbers.trips import TRIPS_MADE, trip_counts
from books.numbers.visit_counts import visit_counts
from books.numbers.visits import CHECKS
from scheduling.models import Season

NUMBERS: dict[str, Number] = {
    number.key: number
    for number in (
        *CHECKS, *TRIPS_MADE, *PROMISES, READ, EMERGENCIES,
        *(number for pair in BY_SUBJECT.values() for number in pair),
        *RECOMMENDATIONS, *REMINDED,
    )
}  # fmt: skip


def counts_of(season: Season, cold: int) -> dict[str, int]:
    """Every number of a season, by its key: as long as its list. `cold`: trips lost to cold."""
    return (
        visit_counts(season)
        | trip_counts(season, cold)
        | found_counts(season)
        | reminded_counts(season)
    )


__all__ = [
    "BY_SUBJECT",
    "CHECKS",
    "EMERGENCIES",
    "NUMBERS",
    "PROMISES",
    "READ",
    "RECOMMENDATIONS",
    "REMINDED",
    "TRIPS_MADE",
    "Kind",
    "Number",
    "counts_of",
]
