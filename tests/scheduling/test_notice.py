"""How far ahead times are promised, and by when a cold one must be decided on."""

import datetime as dt

from scheduling.notice import decided_on, must_be_decided, promised_until

MONDAY = dt.date(2027, 5, 24)


def weekdays(weekday: int) -> bool:
    return weekday < 5


def day(number: int) -> dt.date:
    return MONDAY + dt.timedelta(days=number)


def test_ten_working_days_after_a_monday_are_two_weeks():
    assert promised_until(MONDAY, 10, weekdays) == day(14)


def test_from_a_saturday_the_next_working_day_is_monday():
    assert promised_until(day(5), 1, weekdays) == day(7)


def test_a_thursday_is_decided_on_tuesday():
    assert decided_on(day(3), 2, weekdays) == day(1)


def test_what_would_be_decided_on_a_sunday_is_decided_on_friday():
    assert decided_on(day(8), 2, weekdays) == day(4)


def test_once_the_day_has_come_it_stays_to_be_decided():
    assert not must_be_decided(day(3), day(0), 2, weekdays)
    assert must_be_decided(day(3), day(1), 2, weekdays)
    assert must_be_decided(day(3), day(2), 2, weekdays)
