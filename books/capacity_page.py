"""The capacity screen: the quick answer in words, its picture, the planner's answers."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from books.capacity.fit import CERTAINTIES, Fit
from books.capacity_reading import SeasonCapacity
from books.models import CapacityRun
from books.pictures.capacity import CapacityPicture, draw_capacity
from kit.words import counted, day_name, percent

SAID = {0.5: "more likely than not", 0.8: "in 4 springs of 5", 0.95: "in 19 springs of 20"}


@dataclass(frozen=True, slots=True)
class Line:
    """What holds at one certainty, as a row of the table."""

    certainty: str
    said: str
    fits: int
    more: str
    cleared: str
    start: str
    with_one: str


@dataclass(frozen=True)
class CapacityPage:
    capacity: SeasonCapacity

    @property
    def picture(self) -> CapacityPicture | None:
        found = self.capacity
        springs = [one.visits for one in found.real]
        return draw_capacity(found.days, found.curves, found.fit.owed, springs)

    @property
    def lines(self) -> list[Line]:
        return [self._line(certainty) for certainty in CERTAINTIES]

    def _line(self, certainty: float) -> Line:
        fit = self.capacity.fit
        return Line(
            certainty=percent(certainty),
            said=SAID[certainty],
            fits=fit.fits(certainty),
            more=_more(fit.more(certainty)),
            cleared=self._day(fit.cleared_by(certainty), "not in this season"),
            start=self._day(fit.start_by(certainty), "too late already"),
            with_one=f"+{_one_more(fit).fits(certainty) - fit.fits(certainty):,}",
        )

    def _day(self, number: int | None, without: str) -> str:
        return without if number is None else day_name(self.capacity.days[number])

    @property
    def chance(self) -> str:
        return percent(self.capacity.fit.chance())

    @property
    def hours(self) -> int:
        """Warm technician-hours that there are in half of the springs."""
        return round(self.capacity.fit.total_min(0.5) / 60)

    @property
    def answer(self) -> str:
        """The first sentence of the screen."""
        fit = self.capacity.fit
        more, surely = fit.more(0.8), fit.more(0.95)
        owed = counted(fit.owed, "check")
        if surely >= 0:
            return f"The {owed} owed fit, and {surely:,} more would, in 19 springs of 20."
        if more >= 0:
            return (
                f"The {owed} owed fit in 4 springs of 5, with {more:,} to spare; not in every one."
            )
        if fit.more(0.5) >= 0:
            return f"The {owed} owed fit more likely than not, but not in 4 springs of 5."
        short = counted(-fit.more(0.5), "check")
        return f"Of the {owed} owed, about {short} do not fit into an ordinary spring."

    @property
    def springs(self) -> list[tuple[int, int, str]]:
        """Real springs: year, visits that fitted, and where that stands among the drawn ones."""
        fit = self.capacity.fit
        drawn = fit.so_far[:, -1] / fit.visit_min
        return [
            (one.year, int(one.visits[-1]), percent(float((drawn < one.visits[-1]).mean())))
            for one in self.capacity.real
        ]


def _one_more(fit: Fit) -> Fit:
    return fit.with_more(1)


def _more(number: int) -> str:
    return f"{number:,}" if number >= 0 else f"none: {-number:,} too many are owed"


def answers_of(run: CapacityRun, first_day: dt.date) -> dict[str, Any]:
    """The planner's answers as the template says them. `first_day`: of the planned days."""
    found = run.found
    least = {True: "at least ", False: ""}
    start = found["start_day"]
    return {
        "visits": found["visits"],
        "placed": found["visits"] - found["unplaced"],
        "unplaced": found["unplaced"],
        "checks": found["now"]["placed"],
        "more": f"{least[found['more_is_least']]}{found['more']:,}",
        "with_one": f"{least[found['with_one_is_least']]}{found['with_one']:,}",
        "start": None if start is None else day_name(first_day + dt.timedelta(days=start)),
        "start_asked": found["start_asked"],
        "tested": [
            (percent(certainty), SAID[certainty], count)
            for certainty, count in found["now"]["at_least"]
        ],
    }
