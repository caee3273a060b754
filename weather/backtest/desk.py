"""The office's desk in a simulated spring: the queue of checks, and what was promised to whom.

A strategy looks at warmth and moves promises; the desk keeps the rules: a check is promised one
slot at a time, a technician has one check in a slot, and nobody is asked inside the notice
except those on the short-notice list and those who move within the day they had anyway.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

import numpy as np

from weather.backtest.forecasts import LEADS, chances
from weather.backtest.policy import Policy
from weather.backtest.slots import STARTS_H
from weather.backtest.springs import Spring

SLOTS = range(len(STARTS_H))


class How(StrEnum):
    """By what a check came to its slot."""

    NOTICE = "notice"
    SHORT_NOTICE = "short notice"
    SAME_DAY = "later the same day"


@dataclass(frozen=True)
class Outlook:
    """One spring under one seed, as plain lists. Days count from the spring's first day."""

    spring: Spring
    warmth: list[list[list[float]]]  # [lead, or last: climate alone][day][slot]
    testable: list[list[bool]]
    slots: list[tuple[int, ...]]  # of each day: a working day's, from the first, readings known
    first_day: int

    @property
    def days(self) -> int:
        return len(self.testable)

    def seen_from(self, today: int, day: int) -> list[float]:
        """The warmth of a day's slots by the forecast of the morning of `today`."""
        return self.warmth[min(day - today, LEADS)][day]


def look_out(
    spring: Spring, policy: Policy, first: tuple[int, int], seed: int, error_scale: float = 1.0
) -> Outlook:
    """What can be known of a spring, day by day. `first`: month and day of the earliest slot."""
    threshold_f = policy.test_temperature_f
    working = np.array([[day.weekday() < 5] for day in spring.days])
    first_day = max(0, (date(spring.year, *first) - spring.days[0]).days)
    usable = working & ~np.isnan(spring.coldest_f)
    usable[:first_day] = False
    return Outlook(
        spring=spring,
        warmth=chances(spring, seed, threshold_f, error_scale).tolist(),
        testable=(spring.coldest_f >= threshold_f).tolist(),
        slots=[tuple(np.flatnonzero(day).tolist()) for day in usable],
        first_day=first_day,
    )


@dataclass(frozen=True)
class Promise:
    """A check in a slot, since the morning of `made_on`."""

    check: int
    day: int
    slot: int
    made_on: int
    how: How


@dataclass(frozen=True)
class Visit:
    """A trip that was made."""

    promise: Promise
    warm: bool
    first: bool  # of this check's trips


@dataclass
class Desk:
    """Everything a strategy may see and move. `checks` are numbered in the order of the queue."""

    outlook: Outlook
    policy: Policy
    checks: int
    technicians: int
    return_trips: bool = False
    promised: dict[tuple[int, int], list[Promise]] = field(default_factory=dict)
    visits: list[Visit] = field(default_factory=list)
    broken: int = 0

    def __post_init__(self) -> None:
        on_list = round(self.policy.short_notice_share * self.checks)
        self.ordinary = deque(range(self.checks - on_list))
        self.on_list = deque(range(self.checks - on_list, self.checks))
        self.visited: set[int] = set()

    @property
    def waiting(self) -> int:
        return len(self.ordinary) + len(self.on_list)

    @property
    def done(self) -> bool:
        return not self.waiting and not any(self.promised.values())

    def slots_of(self, day: int) -> tuple[int, ...]:
        """The slots of a day in which a check may be; none outside the spring."""
        return self.outlook.slots[day] if 0 <= day < self.outlook.days else ()

    def promise(self, day: int, slot: int, today: int) -> None:
        """Fill what is free of a slot from the queue, the short-notice list last."""
        assert day - today >= self.policy.notice_days
        for _ in range(min(self._free(day, slot), self.waiting)):
            check = (self.ordinary or self.on_list).popleft()
            self._keep(check, day, slot, today, How.NOTICE)

    def call_in(self, day: int, slot: int, today: int) -> None:
        """Fill what is free of a slot from the short-notice list."""
        for _ in range(min(self._free(day, slot), len(self.on_list))):
            self._keep(self.on_list.popleft(), day, slot, today, How.SHORT_NOTICE)

    def call_off(self, day: int, slot: int, today: int, later: list[int]) -> None:
        """Break a slot's promises: to a `later` slot of the day while there is room, or to wait."""
        for promise in self.promised.pop((day, slot), []):
            self.broken += 1
            room = next((other for other in later if self._free(day, other)), None)
            if room is None:
                self._back(promise.check)
            else:
                self._keep(promise.check, day, room, today, How.SAME_DAY)

    def drive(self, day: int) -> None:
        """The day is over: its promises became trips."""
        for slot in SLOTS:
            for promise in self.promised.pop((day, slot), []):
                warm = self.outlook.testable[day][slot]
                self.visits.append(Visit(promise, warm, promise.check not in self.visited))
                self.visited.add(promise.check)
                if self.return_trips and not warm:
                    self._back(promise.check)

    def _free(self, day: int, slot: int) -> int:
        return self.technicians - len(self.promised.get((day, slot), ()))

    def _keep(self, check: int, day: int, slot: int, today: int, how: How) -> None:
        self.promised.setdefault((day, slot), []).append(Promise(check, day, slot, today, how))

    def _back(self, check: int) -> None:
        """To the head of the queue: whoever was let down comes first."""
        listed = check >= self.checks - round(self.policy.short_notice_share * self.checks)
        (self.on_list if listed else self.ordinary).appendleft(check)
