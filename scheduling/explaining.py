"""Why a visit stands where it stands, what other times would cost, and why not earlier.

Asked of what stands in the season now, by the planner's own rules and prices.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from kit import words
from kit.when import days_between, minute_of_day, moment_at
from scheduling import planner, states
from scheduling.models import Visit
from scheduling.openings import BOOKED, taken_slots, warmth_for
from scheduling.planner.rules import able
from scheduling.planner.score import warmth_at
from scheduling.reading import SeasonReader
from scheduling.roads import drives_between

NEXT_BEST = 3
HALF_HOUR = 30


@dataclass(frozen=True, slots=True)
class Cost:
    """One term of the score, for one slot of one visit."""

    words: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Option:
    """A slot and what it costs. `starts_at` on the branch's clock; `warmth` None: needs none."""

    starts_at: dt.datetime
    technician: str
    warmth: float | None
    costs: tuple[Cost, ...]

    @property
    def minutes(self) -> float:
        return sum(cost.minutes for cost in self.costs)


@dataclass(frozen=True, slots=True)
class Span:
    """The days that have the same thing in their way, not always one after another."""

    first: dt.date
    last: dt.date
    count: int
    words: str

    @property
    def days(self) -> str:
        first, last = words.short_day(self.first), words.short_day(self.last)
        return first if self.count == 1 else f"{self.count} days, {first} to {last}"


@dataclass(frozen=True, slots=True)
class Explanation:
    """`here` None: it has no slot, and `bites` says why. `spans`: the days before its slot, or of a
    visit without one all days."""

    here: Option | None
    next_best: tuple[Option, ...]
    spans: tuple[Span, ...]
    bites: str


def explain(visit: Visit, now: dt.datetime) -> Explanation | None:
    """None: the season is over, or the home has no place. Raises SeasonCannotBePlanned."""
    season, zone = visit.season, visit.season.branch.zone
    tomorrow = now.astimezone(zone).date() + dt.timedelta(days=1)
    first = max(season.starts_on, tomorrow)
    if visit.starts_at:
        first = min(first, max(season.starts_on, visit.starts_at.astimezone(zone).date()))
    days = days_between(first, season.ends_on)
    if not days or visit.owed_visit.home.latitude is None:
        return None
    return _Desk(visit, days, now).explanation()


class _Desk:
    """One visit over the planned days, with everything else where it stands."""

    def __init__(self, visit: Visit, days: Sequence[dt.date], now: dt.datetime) -> None:
        self.visit, self.days = visit, days
        branch = visit.season.branch
        reader = SeasonReader(branch, days, now)
        self.workdays = tuple(reader.workdays())
        self.wanted = reader.visit(visit)
        self.stops = taken_slots(visit, reader, self.workdays, now, BOOKED)
        self.drive = drives_between(reader.places.listed, reader.branch)
        self.problem = planner.Problem(
            days=len(days),
            travel_min=np.zeros((1, 1), dtype=np.float32),
            workdays=self.workdays,
            visits=(self.wanted,),
            warmth=warmth_for(reader, self.wanted),
            least_warmth=branch.least_warmth,
        )
        self.names = {str(pk): name for pk, name in branch.technicians.values_list("pk", "name")}
        # Moving what a customer was told of costs what the branch says.
        told = visit.state in states.AGREED
        self.move_min = float(branch.broken_promise_min) if told else 0.0

    @cached_property
    def openings(self) -> list[planner.Opening]:
        return planner.openings(self.problem, self.wanted, self.stops, self.drive)

    def explanation(self) -> Explanation:
        here = self._here()
        others = [o for o in map(self._option, self.openings) if o.starts_at != self._starts_at]
        until = len(self.days)
        if self._starts_at is not None:
            until = (self._starts_at.date() - self.days[0]).days
        return Explanation(
            here=here,
            next_best=tuple(sorted(others, key=lambda o: o.minutes)[:NEXT_BEST]),
            spans=tuple(self._spans(until, here)),
            bites="" if here else self._bites(),
        )

    @property
    def _starts_at(self) -> dt.datetime | None:
        starts_at = self.visit.starts_at
        return starts_at and starts_at.astimezone(self.visit.season.branch.zone)

    def _here(self) -> Option | None:
        """Its own slot, between the stops that stand before and after it."""
        starts_at, technician = self._starts_at, self.visit.technician
        if starts_at is None or technician is None:
            return None
        day = (starts_at.date() - self.days[0]).days
        begin = float(minute_of_day(starts_at, self.visit.season.branch.zone))
        index = next(
            (i for i, w in enumerate(self.workdays)
             if w.day == day and w.technician == str(technician.pk)), None,
        )  # fmt: skip
        added = 0.0 if index is None else self._added(index, begin)
        warmth = None
        if self.wanted.warmth_class is not None:
            warmth = warmth_at(self.problem, self.wanted, day, begin)
        return Option(starts_at, technician.name, warmth, self._costs(added, warmth, day, 0.0))

    def _added(self, index: int, begin: float) -> float:
        workday, place = self.workdays[index], self.wanted.place
        stops = self.stops.get(index, [])
        before = [stop.place for stop in stops if stop.start_min < begin]
        after = [stop.place for stop in stops if stop.start_min >= begin]
        a = before[-1] if before else workday.start_place
        b = after[0] if after else workday.end_place
        return self.drive(a, place) + self.drive(place, b) - self.drive(a, b)

    def _option(self, opening: planner.Opening) -> Option:
        workday = self.workdays[opening.workday]
        zone = self.visit.season.branch.zone
        starts_at = moment_at(self.days[workday.day], opening.start_min, zone).astimezone(zone)
        costs = self._costs(opening.travel_added_min, opening.warmth, workday.day, self.move_min)
        return Option(starts_at, self.names[str(workday.technician)], opening.warmth, costs)

    def _costs(
        self, added: float, warmth: float | None, day: int, moved: float
    ) -> tuple[Cost, ...]:
        """The terms of the score, those that cost nothing left out except the driving."""
        prices, found = self.problem.prices, [Cost("more driving", added)]
        if warmth is not None:
            cold = prices.cold_trip_min * (1.0 - warmth)
            found.append(Cost(f"risk of a cold trip: {words.percent(warmth)} warm enough", cold))
        late = max(0, day - self.wanted.due_day) if self.wanted.due_day is not None else 0
        if late:
            found.append(Cost(f"{words.counted(late, 'day')} late", prices.late_day_min * late))
        if moved:
            found.append(Cost("the customer was told another time", moved))
        return tuple(found)

    def _spans(self, until: int, here: Option | None) -> Iterator[Span]:
        """What is in the way on the days before `until`, each thing once."""
        best: dict[int, float] = {}
        for opening in self.openings:
            day = self.workdays[opening.workday].day
            minutes = self._option(opening).minutes
            best[day] = min(minutes, best.get(day, minutes))
        told: dict[str, list[dt.date]] = defaultdict(list)
        for day in range(until):
            told[self._reason(day, best.get(day), here)].append(self.days[day])
        for said, days in told.items():
            if said:
                yield Span(days[0], days[-1], len(days), said)

    def _reason(self, day: int, cost: float | None, here: Option | None) -> str:
        """What is in the way on one day; "" on a day on which nobody works anyway."""
        there = [self.workdays[i] for i in self.problem.workdays_by_day.get(day, ())]
        if not there:
            return ""
        if day < self.wanted.due_from_day:
            return "not due yet"
        fit = [workday for workday in there if able(self.wanted, workday)]
        if not fit:
            return "nobody with the skill works"
        spans = [span for w in fit for span in self._spans_of(w)]
        if not spans:
            return "does not suit the customer"
        if self.wanted.warmth_class is not None:
            warmest = max(self._warmest(day, *span) for span in spans)
            if warmest < self.problem.least_warmth:
                return "too cold"
        if cost is None:
            return "full: nothing long enough is free between the others"
        if here is None:
            return "has room now"
        more = cost - here.minutes
        return "costs as much or more" if more >= 0 else "would cost less now: plan again"

    def _spans_of(self, workday: planner.Workday) -> list[tuple[float, float]]:
        """When the work could start, drives aside."""
        last_start = workday.end_min - self.wanted.service_min
        return [
            (max(a, workday.start_min), min(b, last_start))
            for a, b in self.problem.windows_on(self.wanted, workday.day)
            if max(a, workday.start_min) <= min(b, last_start)
        ]

    def _warmest(self, day: int, first: float, last: float) -> float:
        starts = [*np.arange(first, last, HALF_HOUR), last]
        return max(warmth_at(self.problem, self.wanted, day, start) for start in starts)

    def _bites(self) -> str:
        """The first thing that keeps a visit without a slot out."""
        if self.openings:
            return "Nothing keeps it out now: there is room. Give it a slot, or plan again."
        nothing = planner.Plan((None,))
        return planner.why_not(
            self.problem, nothing, 0, lambda day: words.short_day(self.days[day])
        ).words
