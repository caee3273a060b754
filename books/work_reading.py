"""A season's work: what its trips took, earned and used, added up by plan, area and technician."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from agreements.money.amounts import ZERO
from books.earned_reading import earned_shares, materials_of, whole_cents
from books.models import CostRates
from books.numbers.trips import lost_to_cold
from books.stops_reading import stops_beside, stops_of
from books.worth.sums import NOBODY, Rates, WorkLine, trips_cost
from kit.words import counted
from scheduling.models import Outcome, Season, State, Visit
from shop.models import Branch

OWED = "visit__owed_visit"
FACTS = (
    f"{OWED}__agreement__plan__name", f"{OWED}__agreement__home__zip", "technician__name",
    f"{OWED}__agreement_id", f"{OWED}_id", whole_cents(f"{OWED}__agreement__price"),
)  # fmt: skip


@dataclass(frozen=True)
class Work:
    """`timed`: trips whose time at the home comes from the phone. `unplaced`: trips to homes of
    which nobody knows where they lie. `unpriced`: parts by words, times used."""

    lines: list[WorkLine]
    timed: int
    unplaced: int
    unpriced: Counter[str]

    @property
    def trips(self) -> int:
        return sum(line.trips for line in self.lines)

    @property
    def known_words(self) -> str:
        return _known_words(self.trips, self.timed, self.unplaced)


def _known_words(trips: int, timed: int, unplaced: int) -> str:
    """Where the minutes come from."""
    words = "The times at homes come from the phones."
    if timed < trips:
        some = counted(timed, "trip")
        words = f"{some} of {trips:,} are timed by the phones; of the others the slot counts."
    if unplaced:
        of = "trip goes" if unplaced == 1 else "trips go"
        words += (
            f" {unplaced:,} {of} to homes without a place on the map: the drive to them is taken "
            "as the average of the season's plan."
        )
    return words


@dataclass(frozen=True)
class ColdCost:
    """What trips lost to cold cost. `usd` None: the branch's costs are not known."""

    trips: int
    there_min: int
    drive_min: int
    rates: Rates
    known_words: str

    @property
    def usd(self) -> Decimal | None:
        return self.usd_of(self.there_min, self.drive_min)

    def usd_of(self, there_min: int, drive_min: int) -> Decimal | None:
        """What so many minutes cost."""
        return trips_cost(there_min, drive_min, self.rates) if self.rates.known else None


def rates_of(branch: Branch) -> Rates:
    row = CostRates.objects.filter(branch=branch).first()
    return Rates(row.hour_usd, row.drive_min_usd) if row else Rates(None, None)


def cold_cost(season: Season) -> ColdCost:
    """At today's rates; of each day's drive the part of its stops that were lost."""
    rates, trips = rates_of(season.branch), lost_to_cold(season)
    lost = set(trips.order_by().values_list("pk", flat=True))
    if not lost:
        return ColdCost(0, 0, 0, rates, "")
    stops = stops_beside(season, trips)
    cold = np.array([trip in lost for trip in stops.trip], np.bool_)
    timed, unplaced = int((stops.timed & cold).sum()), int((stops.unplaced & cold).sum())
    return ColdCost(
        trips=len(lost),
        there_min=int(stops.there_min[cold].sum()),
        drive_min=int(stops.drive_min[cold].sum()),
        rates=rates,
        known_words=_known_words(len(lost), timed, unplaced),
    )


def work_of(season: Season) -> Work:
    """Every trip of the season, and the visits that were let go. A fixed number of queries."""
    shares, (materials, unpriced) = earned_shares(season), materials_of(season)
    stops = stops_of(season, *FACTS)
    minutes = zip(stops.there_min.tolist(), stops.drive_min.tolist(), strict=True)
    lines: dict[tuple[str, str, str], _Line] = defaultdict(_Line)
    for n, ((*key, agreement, owed, price_cents), (there_min, drive_min)) in enumerate(
        zip(stops.more, minutes, strict=True)
    ):
        line = lines[tuple(key)]
        line.trips += 1
        line.there_min += there_min
        line.drive_min += drive_min
        line.agreements.add(agreement)
        if stops.outcome[n] == Outcome.DONE:
            line.done += 1
            line.earned_cents += shares.get(owed, price_cents)
        line.materials += materials.pop((stops.visit[n], stops.day[n]), ZERO)
    for plan, area, agreement, owed, price_cents in _let_go(season):
        line = lines[plan, area, NOBODY]
        line.agreements.add(agreement)
        line.earned_cents += shares.get(owed, price_cents)
    made = [line.made(key) for key, line in lines.items()]
    return Work(made, int(stops.timed.sum()), int(stops.unplaced.sum()), unpriced)


@dataclass(slots=True)
class _Line:
    """A work line that grows."""

    agreements: set[int] = field(default_factory=set)
    trips: int = 0
    done: int = 0
    there_min: int = 0
    drive_min: int = 0
    earned_cents: int = 0
    materials: Decimal = ZERO

    def made(self, key: tuple[str, str, str]) -> WorkLine:
        return WorkLine(
            *key,
            agreements=frozenset(self.agreements),
            trips=self.trips,
            done=self.done,
            there_min=self.there_min,
            drive_min=self.drive_min,
            earned=Decimal(self.earned_cents).scaleb(-2),
            materials=self.materials,
        )


def _let_go(season: Season) -> Iterable[tuple[str, str, int, int, int]]:
    """Visits that the customer waived: their price is earned without a trip."""
    rows = Visit.objects.for_season(season).filter(state=State.WAIVED).order_by()
    return rows.values_list(
        "owed_visit__agreement__plan__name", "owed_visit__agreement__home__zip",
        "owed_visit__agreement_id", "owed_visit_id",
        whole_cents("owed_visit__agreement__price"),
    )  # fmt: skip
