"""Five ways to promise cooling checks. Each is one function, called every morning of a spring.

- `calendar`: from 1 April in order, whatever the weather.
- `climate`: from the spring's first day, slots that the climate alone calls warm enough.
- `repair`: a slot is promised early only when it is nearly sure to be warm; the doubtful wait
  unpromised until the notice's last day, when the forecast knows most. Promises whose warmth
  falls are called off at the last look, not before: a cold forecast often warms again.
- `short_notice`: the same, and what is still free and warm inside the notice goes to customers who
  agreed to be called late.
- `foresight`: every testable slot in order, as nobody can; the limit of what is possible. It is
  best for the finish and for valid tests, because no testable slot stays empty before the queue
  does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from weather.backtest.desk import Desk
from weather.backtest.forecasts import LEADS
from weather.backtest.policy import Policy
from weather.backtest.slots import STARTS_H

Strategy = Callable[[Desk, int], None]
CALENDAR_FIRST = (4, 1)
SAME_DAY_FROM_H = 10  # called at eight, at home at ten: own choice


def calendar(desk: Desk, today: int) -> None:
    """Promise the day at the far end of the horizon, whatever its weather."""
    spring = desk.outlook.spring
    day = today + desk.policy.promise_days
    if day >= (date(spring.year, *CALENDAR_FIRST) - spring.days[0]).days:
        for slot in desk.slots_of(day):
            desk.promise(day, slot, today)


def climate(desk: Desk, today: int) -> None:
    """Promise at the far end of the horizon what is warm enough by the climate."""
    day = today + desk.policy.promise_days
    for slot in desk.slots_of(day):
        if desk.outlook.warmth[LEADS][day][slot] >= desk.policy.first_booking_limit:
            desk.promise(day, slot, today)


def repair(desk: Desk, today: int) -> None:
    """The last look at what was promised, then new promises, the nearest day first."""
    _look_again(desk, today)
    _promise_warm_slots(desk, today)


def short_notice(desk: Desk, today: int) -> None:
    """As `repair`, and the short-notice list for what is free and warm inside the notice."""
    _look_again(desk, today)
    for ahead in range(desk.policy.short_notice_days, desk.policy.notice_days):
        day, limit = today + ahead, _limit(desk.policy, ahead)
        for slot in _still_possible(desk, day, today):
            if desk.outlook.seen_from(today, day)[slot] >= limit:
                desk.call_in(day, slot, today)
    _promise_warm_slots(desk, today)


def foresight(desk: Desk, today: int) -> None:
    """Promise the testable slots of the day at the far end of the horizon."""
    day = today + desk.policy.promise_days
    for slot in desk.slots_of(day):
        if desk.outlook.testable[day][slot]:
            desk.promise(day, slot, today)


STRATEGIES: Mapping[str, Strategy] = {
    "calendar": calendar,
    "climate": climate,
    "repair": repair,
    "short_notice": short_notice,
    "foresight": foresight,
}


def _look_again(desk: Desk, today: int) -> None:
    """Call off what is too cold on the day that is looked at for the last time."""
    policy, day = desk.policy, today + desk.policy.last_look_days
    if not any((day, slot) in desk.promised for slot in desk.slots_of(day)):
        return
    warmth, limit = desk.outlook.seen_from(today, day), _limit(policy, policy.last_look_days)
    warm = [slot for slot in _still_possible(desk, day, today) if warmth[slot] >= limit]
    for slot in desk.slots_of(day):
        if warmth[slot] < policy.hold_limit:
            desk.call_off(day, slot, today, [later for later in warm if later > slot])


def _promise_warm_slots(desk: Desk, today: int) -> None:
    policy = desk.policy
    for ahead in range(policy.notice_days, policy.promise_days + 1):
        if not desk.waiting:
            return
        day, limit = today + ahead, _limit(policy, ahead)
        for slot in desk.slots_of(day):
            if desk.outlook.seen_from(today, day)[slot] >= limit:
                desk.promise(day, slot, today)


def _limit(policy: Policy, ahead: int) -> float:
    """The least warmth at which a slot so many days ahead is given to someone.

    Once the last look is past, nothing can be called off: a new visit must then be as warm as an
    old one to stay.
    """
    if ahead > policy.notice_days:
        return policy.pull_forward_limit
    if ahead > policy.last_look_days:
        return policy.first_booking_limit
    return max(policy.first_booking_limit, policy.hold_limit)


def _still_possible(desk: Desk, day: int, today: int) -> list[int]:
    """The slots of a day that someone called this morning can be at home for."""
    return [slot for slot in desk.slots_of(day) if day > today or STARTS_H[slot] >= SAME_DAY_FROM_H]
