"""What the season's page and its paper show: figures beside last season's, and pictures."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.urls import reverse

from books.numbers import (
    BY_SUBJECT,
    CHECKS,
    EMERGENCIES,
    PROMISES,
    READ,
    RECOMMENDATIONS,
    REMINDED,
    TRIPS_MADE,
    Number,
)
from books.pictures.shares import SharesPicture, draw_shares
from books.pictures.weeks import WeeksPicture, draw_weeks
from books.season_books import Earlier, SeasonBooks
from books.work_reading import ColdCost
from fieldwork.readings import GROUPS
from kit.words import counted, percent
from scheduling.models import Season

# How each part of the checks is filled in the picture (static/css/books.css).
LOOKS = {
    "warm": "warm", "provisional": "provisional", "no-readings": "unread", "no-warmth": "other",
    "waived": "waived", "still-owed": "owed",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its list's address, and last season's; None: there was none."""

    number: Number
    count: int
    before: int | None
    url: str
    share: str = ""

    @property
    def difference(self) -> str:
        """Against last season: "+12", "−3", "as before"; empty for a first season."""
        if self.before is None:
            return ""
        if self.count == self.before:
            return "as before"
        return f"{'+' if self.count > self.before else '−'}{abs(self.count - self.before):,}"


@dataclass(frozen=True, slots=True)
class FoundRow:
    """What was found of one subject."""

    title: str
    repair: Figure
    watch: Figure


@dataclass(frozen=True)
class SeasonPage:
    """`before` None: the first season of the branch. `not_read`: finished records that are not
    counted among the findings yet."""

    books: SeasonBooks
    before: Earlier | None
    cold_cost: ColdCost
    not_read: int = 0

    @property
    def cold_usd_before(self) -> Decimal | None:
        """What last season's trips lost to cold would cost today."""
        return self.cold_cost.usd_of(*self.before.cold_min) if self.before else None

    @property
    def looks(self) -> list[tuple[str, str]]:
        """The legend of the picture."""
        return [(LOOKS[number.key], number.label) for number in CHECKS if number.key in LOOKS]

    @property
    def not_read_words(self) -> str:
        still = counted(self.not_read, "finished record")
        return f"{still} of this season wait to be read into the books; it is done by itself."

    def _figure(self, number: Number, whole: str = "") -> Figure:
        count = self.books.counts[number.key]
        of = self.books.counts[whole] if whole else 0
        return Figure(
            number,
            count,
            self.before.counts[number.key] if self.before else None,
            reverse("books:list", args=[self.books.season.pk, number.key]),
            percent(count / of) if of and count else "",
        )

    @cached_property
    def checks(self) -> list[Figure]:
        owed, *others = CHECKS
        return [self._figure(owed), *(self._figure(one, "owed") for one in others)]

    @cached_property
    def trips(self) -> list[Figure]:
        first, *others = TRIPS_MADE
        return [self._figure(first), *(self._figure(one, "trips") for one in others)]

    @cached_property
    def promises(self) -> list[Figure]:
        first, *others = PROMISES
        return [self._figure(first), *(self._figure(one, "promised") for one in others)]

    @cached_property
    def reminded(self) -> list[Figure]:
        wholes = {"filter-changed": "filter-letters", "cover-answered": "cover-letters",
                  "trips-saved": "no-starts"}  # fmt: skip
        return [self._figure(number, wholes.get(number.key, "")) for number in REMINDED]

    @cached_property
    def found(self) -> list[FoundRow]:
        return [
            FoundRow(GROUPS[letter], self._figure(repair, "read"), self._figure(watch, "read"))  # type: ignore[index]
            for letter, (repair, watch) in BY_SUBJECT.items()
        ]

    @cached_property
    def read(self) -> Figure:
        return self._figure(READ)

    @cached_property
    def emergencies(self) -> Figure:
        return self._figure(EMERGENCIES)

    @cached_property
    def recommendations(self) -> list[Figure]:
        first, *others = RECOMMENDATIONS
        return [self._figure(first), *(self._figure(one, "recommended") for one in others)]

    @cached_property
    def shares(self) -> list[SharesPicture]:
        """The season's bar over last season's."""
        drawn = [_shares(self.books.season, self.books.counts)]
        if self.before:
            drawn.append(_shares(self.before.season, self.before.counts))
        return [picture for picture in drawn if picture]

    @cached_property
    def weeks(self) -> WeeksPicture | None:
        """None before anything was driven: there is nothing to draw."""
        season = self.books.season
        if not (self.books.done_on or self.books.cold_on or self.before):
            return None
        return draw_weeks(
            season.starts_on,
            season.ends_on,
            self.books.done_on,
            self.books.cold_on,
            self.before.done_by_week if self.before else None,
        )


def _shares(season: Season, counts: dict[str, int]) -> SharesPicture | None:
    parts = [(LOOKS[n.key], n.label, counts[n.key]) for n in CHECKS if n.key in LOOKS]
    return draw_shares(str(season), parts)
