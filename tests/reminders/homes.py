"""Homes and places that the reminders' tests are about."""

from __future__ import annotations

from datetime import date

from reminders.facts import FilterFacts, HomeFacts
from reminders.place import PlaceFacts, place_facts
from weather.demonstration import demonstration_climate

MILWAUKEE = place_facts(demonstration_climate())


def filter_17(thickness_in=1.0, changed: date | None = date(2027, 4, 1), **rest) -> FilterFacts:
    return FilterFacts(17, "16x25", thickness_in, changed, **rest)


def home(*filters: FilterFacts, **facts) -> HomeFacts:
    """A home that says yes to nothing unless told, so that a test names all that counts."""
    return HomeFacts(id=1, filters=filters, **facts)


def quiet_place(**edges) -> PlaceFacts:
    """A place where no system ever runs, so that only the home shortens an interval."""
    never = (0.0,) * 731
    dates = {"season_begins": (5, 3), "season_ends": (10, 12)}
    dates |= {"summer_begins": (5, 29), "summer_ends": (9, 20)}
    return PlaceFacts(**dates | edges, cooling_sums=never, heating_sums=never)


def busy_place(share: float) -> PlaceFacts:
    """A place where heating runs a given share of every day."""
    sums = tuple(share * days for days in range(731))
    return PlaceFacts(None, None, None, None, (0.0,) * 731, sums)


QUIET = quiet_place()
