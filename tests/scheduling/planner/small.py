"""Seasons small enough to see through, and all plans of one tried in turn."""

from dataclasses import replace
from functools import cache
from itertools import permutations, product
from math import inf

import numpy as np

from scheduling.planner import KeptSlot, Lunch, Problem, Visit, Window, Workday
from scheduling.planner.rules import may_start
from scheduling.planner.score import warmth_at

A_BIT_MIN = 1e-6
SHOP, NINE, NOON, FIVE = 0, 540.0, 720.0, 1020.0
LUNCH = Lunch(earliest_min=690.0, latest_min=780.0, minutes=30.0)


def workday(day=0, technician="Ana", **facts):
    """Nine to five, from and to the shop."""
    hours = {"start_min": NINE, "end_min": FIVE, "start_place": SHOP, "end_place": SHOP}
    return Workday(f"{technician}/{day}", technician, day, **(hours | facts))


def visit(key, place=1, service_min=60.0, **facts):
    return Visit(key, place, service_min, **facts)


def season(visits, workdays, *, days=1, drive_min=10.0, warmth=None, **facts):
    """A problem whose places all lie `drive_min` apart; `warmth`: [classes, days, 48]."""
    places = 1 + max([v.place for v in visits], default=0)
    travel = np.full((places, places), drive_min, np.float32)
    np.fill_diagonal(travel, 0)
    if warmth is not None:
        facts["warmth"] = np.asarray(warmth, float)
    return Problem(days, travel, tuple(workdays), tuple(visits), **facts)


def warm_from(minute, cold=0.2, warm=0.9):
    """One day's warmth: cold before a time of day, warm from it on."""
    return [warm if 30 * half_hour >= minute else cold for half_hour in range(48)]


def with_visits(problem, *changed):
    return replace(problem, visits=tuple(changed))


def looks(rounds, seen):
    """A stop rule that notes what the search counts and the score of the same plan."""

    def stop(progress):
        seen.append((progress.score, progress.figures().total_min))
        return progress.iterations >= rounds

    return stop


def made_up(chance, visits=5, workdays=3, days=2):
    """A season by chance (a `random.Random`) with some of everything that a problem can hold."""
    table = np.array(
        [[chance.randint(5, 45) for _ in range(visits + 1)] for _ in range(visits + 1)]
    )
    np.fill_diagonal(table, 0)
    crew = [_made_up_workday(chance, number, days) for number in range(workdays)]
    calls = [_made_up_visit(chance, number, crew, days) for number in range(visits)]
    warmth = [[[chance.random() for _ in range(48)] for _ in range(days)]]
    return Problem(
        days=days,
        travel_min=table.astype(np.float32),
        workdays=tuple(crew),
        visits=tuple(calls),
        warmth=np.array(warmth),
        least_warmth=chance.choice([0.0, 0.3]),
    )


def _made_up_workday(chance, number, days):
    start_min = chance.choice([480.0, 540.0, 600.0])
    return workday(
        day=number % days,
        technician=number,
        start_min=start_min,
        end_min=start_min + chance.choice([180.0, 300.0, 480.0]),
        lunch=chance.choice([None, LUNCH]),
        skills=frozenset(chance.choice([(), ("gas",)])),
    )


def _made_up_visit(chance, number, crew, days):
    kept = KeptSlot(chance.randrange(len(crew)), chance.randrange(500, 800, 10) + 0.0)
    return visit(
        number,
        place=number + 1,
        service_min=float(chance.choice([30, 60, 90])),
        windows=chance.choice([None, _made_up_windows(chance, days)]),
        skills=frozenset(chance.choice([(), (), ("gas",)])),
        warmth_class=chance.choice([None, 0]),
        due_from_day=chance.choice([0, 0, 1]),
        due_day=chance.choice([None, 0]),
        unplaced_min=float(chance.choice([60, 400])),
        kept=chance.choice([None, kept]),
        move_min=25.0,
    )


def _made_up_windows(chance, days):
    first = chance.randrange(480, 840, 15) + 0.0
    return tuple(Window(day, first, first + 120.0) for day in range(days) if chance.random() < 0.8)


def cheapest_total(problem):
    """The total of the best plan, by trying every way to share the visits out and every order."""
    numbers = range(len(problem.visits))
    best = inf
    for sharing in product(range(-1, len(problem.workdays)), repeat=len(numbers)):
        routes = [
            tuple(v for v in numbers if sharing[v] == w) for w in range(len(problem.workdays))
        ]
        left_out = [problem.visits[v] for v in numbers if sharing[v] < 0]
        total = sum(v.unplaced_min + (v.move_min if v.kept else 0.0) for v in left_out)
        best = min(
            best, total + sum(_cheapest(problem, w, stops) for w, stops in enumerate(routes))
        )
    return best


@cache
def _cheapest(problem, number, stops):
    if not stops:
        return 0.0
    day = problem.workdays[number]
    if sum(problem.visits[stop].service_min for stop in stops) > day.end_min - day.start_min:
        return inf
    return min(_cheapest_starts(problem, number, order) for order in permutations(stops))


def _cheapest_starts(problem, number, order):
    """Follows the day with all (ready, price, lunch owed) that no other is better than."""
    workday = problem.workdays[number]
    labels, place = {(workday.start_min, 0.0, workday.lunch is not None)}, workday.start_place
    for stop in order:
        wanted = problem.visits[stop]
        if not wanted.skills <= workday.skills:
            return inf
        drive = problem.drive_min(place, wanted.place)
        labels = _best(
            {
                (start + wanted.service_min, paid + drive + price, owed)
                for ready, paid, owed in _with_lunch(labels, workday)
                for start, price in _starts(problem, wanted, number, ready + drive)
            }
        )
        place = wanted.place
    home = problem.drive_min(place, workday.end_place)
    last = workday.lunch.latest_min if workday.lunch else inf
    totals = [
        paid + home
        for ready, paid, owed in _with_lunch(labels, workday)
        if ready + home <= workday.end_min and (not owed or ready + home <= last)
    ]
    return min(totals, default=inf)


def _with_lunch(labels, workday):
    lunch = workday.lunch
    eaten = {
        (max(ready, lunch.earliest_min) + lunch.minutes, paid, False)
        for ready, paid, owed in labels
        if owed and ready <= lunch.latest_min
    }
    return labels | eaten


def _best(labels):
    def beaten(label):
        return any(
            o != label and all(a <= b for a, b in zip(o, label, strict=True)) for o in labels
        )

    return {label for label in labels if not beaten(label)}


def _starts(problem, wanted, number, arrival):
    """At once, or later at a time when the price or the permission changes."""
    workday = problem.workdays[number]
    times = {30.0 * half_hour for half_hour in range(48)}
    times |= {window.earliest_start_min for window in wanted.windows or ()}
    if wanted.kept:
        times |= {wanted.kept.start_min + n * problem.prices.kept_within_min for n in (-1, 0)}
    # Who arrives exactly when it turns colder counts as having come just before.
    for start in {arrival, *times, *(time - A_BIT_MIN for time in times)}:
        if start + A_BIT_MIN >= arrival and may_start(problem, wanted, workday, start):
            late = max(0, workday.day - wanted.due_day) if wanted.due_day is not None else 0
            cold = 1 - warmth_at(problem, wanted, workday.day, start)
            price = cold * problem.prices.cold_trip_min + late * problem.prices.late_day_min
            if wanted.kept and not _kept(problem, wanted, number, start):
                price += wanted.move_min
            yield start, price


def _kept(problem, wanted, number, start):
    kept = wanted.kept
    near = abs(start - kept.start_min) <= problem.prices.kept_within_min
    return problem.workdays[kept.workday].day == problem.workdays[number].day and near
