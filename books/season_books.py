"""A season in figures beside the one before it. As many queries for any number of visits."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from statistics import median

from django.db.models import Count

from books.models import SeasonTally
from books.numbers import NUMBERS, counts_of
from books.numbers.trips import cold_by_day
from books.numbers.visits import every
from scheduling.models import Season, State

# A season that began about a year before is the one to compare with; else the last before it.
A_YEAR, ABOUT = dt.timedelta(days=365), dt.timedelta(days=75)
# Records and answers still come in for a while after a season's end (own choice).
SETTLED_AFTER, A_DAY = dt.timedelta(days=60), dt.timedelta(days=1)


@dataclass(frozen=True)
class SeasonBooks:
    """`counts`: of every number of the books, by its key."""

    season: Season
    counts: dict[str, int]
    done_on: Counter[dt.date]
    cold_on: Counter[dt.date]
    waited: Counter[int]  # days from owed to done -> visits

    @cached_property
    def waited_days(self) -> int | None:
        """The median; None: nothing is done."""
        days = sorted(self.waited.elements())
        return round(median(days)) if days else None

    @cached_property
    def waited_most_days(self) -> int | None:
        """Nine in ten were done by then."""
        days = sorted(self.waited.elements())
        return days[int(0.9 * (len(days) - 1))] if days else None

    @cached_property
    def done_by_week(self) -> Counter[int]:
        """Checks done by the number of the week, from 0, for another season's picture."""
        found: Counter[int] = Counter()
        for day, count in self.done_on.items():
            found[max((day - self.season.starts_on).days // 7, 0)] += count
        return found


@dataclass(frozen=True)
class Earlier:
    """What a season is compared with."""

    season: Season
    counts: dict[str, int]
    waited_days: int | None
    waited_most_days: int | None
    done_by_week: dict[int, int]
    cold_min: tuple[int, int]  # there and driven


def earlier_books(season: Season, now: dt.datetime) -> Earlier | None:
    """The figures of the season before, as kept; None: there is none, or they are to be counted.

    Kept for a day, and for good once they were counted long after that season's end.
    """
    kept = SeasonTally.objects.filter(season=season).first()
    if kept is None:
        return None
    counted_on = kept.counted_at.astimezone(season.branch.zone).date()
    if counted_on <= season.ends_on + SETTLED_AFTER and now - kept.counted_at >= A_DAY:
        return None
    if set(kept.counts) != set(NUMBERS):
        return None
    by_week = {int(week): count for week, count in kept.done_by_week.items()}
    middle, most = kept.waited
    there, drive = kept.cold_min
    return Earlier(season, kept.counts, middle, most, by_week, (there, drive))


def before(season: Season) -> Season | None:
    """The season to compare with: that of a year ago, else the last one before."""
    earlier = list(
        Season.objects.filter(branch=season.branch, starts_on__lt=season.starts_on)
        .order_by("-starts_on")
        .select_related("branch")[:20]
    )
    a_year_ago = season.starts_on - A_YEAR
    alike = [one for one in earlier if abs(one.starts_on - a_year_ago) <= ABOUT]
    return min(alike, key=lambda one: abs(one.starts_on - a_year_ago), default=None) or next(
        iter(earlier), None
    )


def books_of(season: Season) -> SeasonBooks:
    """Count everything of a season."""
    done_on, waited = _done(season)
    cold_on = Counter(cold_by_day(season))
    return SeasonBooks(season, counts_of(season, cold_on.total()), done_on, cold_on, waited)


def _done(season: Season) -> tuple[Counter[dt.date], Counter[int]]:
    """Visits by the day they were done, and by the days they waited since they were owed.

    A visit is owed from the first day of its due window, or of the season when that is later.
    """
    rows = (
        every(season)
        .filter(state=State.DONE, owed_visit__closed_on__isnull=False)
        .order_by()
        .values_list("owed_visit__closed_on", "owed_visit__due_from")
        .annotate(n=Count("pk"))
    )
    done_on: Counter[dt.date] = Counter()
    waited: Counter[int] = Counter()
    for closed_on, due_from, count in rows:
        done_on[closed_on] += count
        owed_from = max(due_from, season.starts_on)
        waited[max((closed_on - owed_from).days, 0)] += count
    return done_on, waited
