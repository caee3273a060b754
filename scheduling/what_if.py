"""What if: the same season with something changed, planned beside the season as it is.

A change is kept in the run's row as {"what": …, …}. Nothing of it is ever put into the season.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

from kit import words
from scheduling import planner
from scheduling.models import Season
from scheduling.promises import with_movable_promises
from scheduling.reading import SeasonCannotBePlanned
from scheduling.snapshot import Snapshot, take_snapshot

TECHNICIAN_WEEK, SATURDAYS, TEST_TEMPERATURE = "technician_week", "saturdays", "test_temperature"
SHORT_NOTICE, PROMISES = "short_notice", "promises"
AS_IT_IS, FREE = "As it is", "A moved promise costs nothing"
LOWER_TEST_F = 50
MORE_CUSTOMERS = 50
SATURDAY = 5
NOBODY = "0"  # the key of a technician whom nobody has hired yet


@dataclass(frozen=True)
class Variant:
    """One of the problems that are planned side by side."""

    label: str
    snapshot: Snapshot


def words_of(change: dict) -> str:
    """The change as the office reads it."""
    match change.get("what"):
        case "technician_week":
            week = dt.date.fromisoformat(change["week"])
            return f"One more technician in the week of {words.short_day(week)}"
        case "saturdays":
            return "Work on Saturdays too"
        case "test_temperature":
            return f"A test temperature of {words.temperature(change['f'])}"
        case "short_notice":
            return f"{change['customers']} more customers who can come at short notice"
        case "promises":
            return "Promises may move at a price"
    return "As it is"


def variants(season: Season, change: dict, now: dt.datetime) -> list[Variant]:
    """The season as it is, and with the change. Raises SeasonCannotBePlanned."""
    as_it_is = take_snapshot(season, now)
    return [Variant(AS_IT_IS, as_it_is), *_changed(as_it_is, change, now)]


def _changed(now_: Snapshot, change: dict, now: dt.datetime) -> Iterator[Variant]:
    label = words_of(change)
    match change["what"]:
        case "technician_week":
            week = dt.date.fromisoformat(change["week"])
            yield _with_days(now_, label, _one_more(now_, week))
        case "saturdays":
            yield _with_days(now_, label, _saturdays(now_))
        case "test_temperature":
            yield Variant(
                label, take_snapshot(now_.season, now, test_temperature_f=int(change["f"]))
            )
        case "short_notice":
            visits = _any_time(now_.problem, int(change["customers"]))
            yield _with(now_, label, replace(now_.problem, visits=tuple(visits)))
        case "promises":
            price = now_.season.branch.broken_promise_min
            today = now.astimezone(now_.season.branch.zone).date()
            for its, said in ((price, f"A moved promise costs {price} min"), (0, FREE)):
                yield Variant(said, with_movable_promises(now_, today, its))
        case other:
            raise SeasonCannotBePlanned(f"Nobody knows what “{other}” would change.")


def _with(now_: Snapshot, label: str, problem: planner.Problem) -> Variant:
    return Variant(label, replace(now_, problem=problem))


def _with_days(now_: Snapshot, label: str, more: list[planner.Workday]) -> Variant:
    workdays = (*now_.problem.workdays, *more)
    return _with(now_, label, replace(now_.problem, workdays=workdays))


def _one_more(now_: Snapshot, week: dt.date) -> list[planner.Workday]:
    """A second of the technician with the most skills who works that week, on the same days."""
    first = (week - now_.first_day).days
    there = [day for day in now_.problem.workdays if first <= day.day < first + 7]
    if not there:
        raise SeasonCannotBePlanned(
            f"Nobody works in the week of {words.short_day(week)}, so there are no hours to copy."
        )
    able = max(there, key=lambda day: (len(day.skills), str(day.technician)))
    days = [day for day in there if day.technician == able.technician]
    return [replace(d, key=f"One more technician, {d.key}", technician=NOBODY) for d in days]


def _saturdays(now_: Snapshot) -> list[planner.Workday]:
    """Each technician on each free Saturday, with the hours of her last day before it."""
    taken = {(day.technician, day.day) for day in now_.problem.workdays}
    found = {}
    for day in sorted(now_.problem.workdays, key=lambda day: day.day):
        saturday = day.day + (SATURDAY - now_.day_of(day.day).weekday())
        free = (day.technician, saturday) not in taken
        if day.day < saturday < now_.problem.days and free:
            found[day.technician, saturday] = replace(day, key=f"{day.key} (Sat)", day=saturday)
    return list(found.values())


def _any_time(problem: planner.Problem, count: int) -> list[planner.Visit]:
    """The visits with the fewest half days that suit get all of them, so many of them."""
    tied = [
        index for index, visit in enumerate(problem.visits)
        if visit.windows is not None and not visit.fixed
    ]  # fmt: skip
    tied.sort(key=lambda index: len(problem.visits[index].windows or ()))
    freed = set(tied[:count])
    return [
        replace(visit, windows=None) if index in freed else visit
        for index, visit in enumerate(problem.visits)
    ]


def promises_broken(as_it_is: planner.Problem, plan: planner.Plan) -> int:
    """How many customers would have to come on another day or at another time."""
    return sum(
        planner.breaks(as_it_is, planner.Move(index, _kept(index, visit), plan.slots[index]))
        for index, visit in enumerate(as_it_is.visits)
        if visit.fixed
    )


def _kept(index: int, visit: planner.Visit) -> planner.Slot | None:
    kept = visit.kept
    return None if kept is None else planner.Slot(index, kept.workday, kept.start_min)
