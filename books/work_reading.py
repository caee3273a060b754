"""A season's trips read as work lines: minutes there and driven, what was earned, materials.

Minutes come from the phone's buttons; without them, there: from the slot's start to the trip's
end, driven: the average of the season's applied plan. Screens say how many are known from where.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from operator import itemgetter
from typing import Any

from django.db.models import QuerySet

from agreements.models import OwedVisit, PlanVersion
from agreements.money.amounts import ZERO, cents, split
from books.models import CostRates, PartPrice
from books.numbers.trips import every, lost_to_cold
from books.worth.sums import NOBODY, Rates, WorkLine, trips_cost
from fieldwork.models import PartUsed, Record
from kit.words import counted
from scheduling.figures import season_figures
from scheduling.models import Outcome, Season, State, Trip, Visit
from shop.models import Branch

# A trip longer than this was ended late, not driven or worked so long (own choice, no source).
MOST_THERE_MIN, MOST_DRIVE_MIN = 6 * 60, 3 * 60
MINUTE = dt.timedelta(minutes=1)


@dataclass(frozen=True)
class Work:
    """`timed`: trips whose minutes come from the phone. `unpriced`: parts by words, times used."""

    lines: list[WorkLine]
    timed: int
    drive_a_visit_min: int | None
    unpriced: Counter[str]

    @property
    def known_words(self) -> str:
        """Where the minutes come from."""
        trips = sum(line.technician != NOBODY for line in self.lines)
        if trips and self.timed == trips:
            return "All times come from the phones."
        drive = (
            f"{self.drive_a_visit_min} min, the average of the season's plan"
            if self.drive_a_visit_min is not None
            else "as nothing, because no plan was applied"
        )
        some = f"{counted(self.timed, 'trip')} of {trips:,} are timed by the phones"
        return f"{some}; of the others the slot counts, and the drive {drive}."


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


def part_key(words: str) -> str:
    """Under which a part's price is kept: small letters, single spaces."""
    return " ".join(words.lower().split())[:120]


def cold_cost(season: Season) -> ColdCost:
    """At today's rates."""
    rates, work = rates_of(season.branch), _work(season, lost_to_cold(season))
    there = sum(line.there_min for line in work.lines)
    drive = sum(line.drive_min for line in work.lines)
    return ColdCost(
        trips=len(work.lines),
        there_min=there,
        drive_min=drive,
        rates=rates,
        known_words=work.known_words if work.lines else "",
    )


def work_of(season: Season) -> Work:
    """Every trip of the season, and the visits that were let go. A fixed number of queries."""
    shares = earned_shares(season)
    work = _work(season, every(season), shares)
    lines = [*work.lines, *_let_go(season, shares)]
    return Work(lines, work.timed, work.drive_a_visit_min, work.unpriced)


def _work(
    season: Season, trips: QuerySet[Trip], shares: Mapping[int, Decimal] | None = None
) -> Work:
    """`shares`: of the prices, by owed visit; None: only the time is asked for."""
    average = season_figures(season).travel_a_visit_min
    drive_min = None if average is None else round(average)
    stamps, zone = _stamps(trips), season.branch.zone
    materials, unpriced = ({}, Counter[str]()) if shares is None else _materials(season)
    earned = shares or {}
    lines, timed = [], 0
    for row in trips.order_by().values_list(*_COLUMNS):
        visit, owed, agreement, plan, area, technician, starts_at, ended_at, outcome = row
        key = (visit, starts_at.astimezone(zone).date())
        drove, there, known = _minutes(stamps.get(key), starts_at, ended_at, season.branch)
        timed += known
        lines.append(
            WorkLine(
                agreement=agreement,
                plan=plan,
                area=area,
                technician=technician,
                there_min=there,
                drive_min=(drive_min or 0) if drove is None else drove,
                earned=earned.get(owed, ZERO) if outcome == Outcome.DONE else ZERO,
                materials=materials.pop(key, ZERO),
                done=outcome == Outcome.DONE,
                cold=outcome == Outcome.COLD,
            )
        )
    return Work(lines, timed, drive_min, unpriced)


_COLUMNS = (
    "visit_id", "visit__owed_visit_id", "visit__owed_visit__agreement_id",
    "visit__owed_visit__agreement__plan__name", "visit__owed_visit__agreement__home__zip",
    "technician__name", "starts_at", "ended_at", "outcome",
)  # fmt: skip
Stamps = tuple[dt.datetime | None, dt.datetime | None, dt.datetime | None]


def _stamps(trips: QuerySet[Trip]) -> dict[tuple[int, dt.date], Stamps]:
    rows = Record.objects.filter(visit__in=trips.order_by().values("visit")).order_by()
    found = rows.values_list("visit_id", "day", "on_the_way_at", "arrived_at", "left_at")
    return {(visit, day): (way, there, left) for visit, day, way, there, left in found}


def _minutes(
    stamps: Stamps | None, starts_at: dt.datetime, ended_at: dt.datetime, branch: Branch
) -> tuple[int | None, int, bool]:
    """Driven (None: not known), there, and whether the phone says both."""
    way, arrived, left = stamps or (None, None, None)
    drove = _between(way, arrived, MOST_DRIVE_MIN)
    there = _between(arrived, left, MOST_THERE_MIN)
    known = drove is not None and there is not None
    if there is None:
        there = _between(starts_at, ended_at, MOST_THERE_MIN)
    return drove, branch.cooling_check_min if there is None else there, known


def _between(first: dt.datetime | None, last: dt.datetime | None, most: int) -> int | None:
    """Whole minutes; None for a time that is missing or cannot be."""
    if first is None or last is None:
        return None
    minutes = round((last - first) / MINUTE)
    return minutes if 0 <= minutes <= most else None


def earned_shares(season: Season) -> dict[int, Decimal]:
    """What each owed visit of the season's agreements is of its agreement's price, by its id.

    The price is divided by what the visits cost alone (ASC 606-10-32-31, as in
    agreements.money.revenue); where the plan says no such price, in equal parts.
    """
    agreements = Visit.objects.for_season(season).values("owed_visit__agreement")
    rows = (
        OwedVisit.objects.filter(agreement__in=agreements)
        .order_by("agreement_id", "pk")
        .values_list("agreement_id", "pk", "kind", "agreement__price", "agreement__version_id")
    )
    alone = _alone(season.branch)
    known: dict[Any, list[Decimal]] = {}
    found: dict[int, Decimal] = {}
    for price, version, visits in _by_agreement(rows):
        kinds = tuple(kind for _, kind in visits)
        key = (price, version, kinds)
        if key not in known:
            known[key] = _shares(price, *alone[version], kinds)
        found.update(zip((pk for pk, _ in visits), known[key], strict=True))
    return found


def _alone(branch: Branch) -> dict[int, tuple[Decimal, Decimal]]:
    """What a cooling and a heating check cost alone, by version of a plan."""
    rows = PlanVersion.objects.filter(plan__branch=branch)
    found = rows.values_list("pk", "cooling_alone", "heating_alone")
    return {pk: (cooling, heating) for pk, cooling, heating in found}


def _by_agreement(
    rows: Iterable[tuple[int, int, str, Decimal, int]],
) -> Iterator[tuple[Decimal, int, list[tuple[int, str]]]]:
    """Price, version and visits of each agreement; the rows come ordered."""
    for _, group in groupby(rows, key=itemgetter(0)):
        visits = list(group)
        _, _, _, price, version = visits[0]
        yield price, version, [(pk, kind) for _, pk, kind, _, _ in visits]


def _shares(
    price: Decimal, cooling: Decimal, heating: Decimal, kinds: tuple[str, ...]
) -> list[Decimal]:
    alone = {"cooling": cooling, "heating": heating, "both": cooling + heating}
    weights = [alone[kind] for kind in kinds]
    return split(price, weights if all(weights) else [1] * len(kinds))


def _materials(
    season: Season,
) -> tuple[dict[tuple[int, dt.date], Decimal], Counter[str]]:
    """What parts cost, by visit and day; and the parts without a price."""
    prices = dict(PartPrice.objects.filter(branch=season.branch).values_list("key", "usd"))
    used = PartUsed.objects.filter(record__visit__season=season, removed=None).order_by()
    spent: dict[tuple[int, dt.date], Decimal] = {}
    unpriced: Counter[str] = Counter()
    for visit, day, words, quantity in used.values_list(
        "record__visit_id", "record__day", "words", "quantity"
    ):
        price = prices.get(part_key(words))
        if price is None:
            unpriced[words] += 1
        else:
            spent[visit, day] = spent.get((visit, day), ZERO) + cents(price * quantity)
    return spent, unpriced


def _let_go(season: Season, shares: Mapping[int, Decimal]) -> Iterator[WorkLine]:
    """Visits that the customer waived: their price is earned without a trip."""
    rows = Visit.objects.for_season(season).filter(state=State.WAIVED).order_by()
    for owed, agreement, plan, area in rows.values_list(
        "owed_visit_id", "owed_visit__agreement_id",
        "owed_visit__agreement__plan__name", "owed_visit__agreement__home__zip",
    ):  # fmt: skip
        yield WorkLine(agreement, plan, area, NOBODY, 0, 0, shares.get(owed, ZERO), ZERO, False)
