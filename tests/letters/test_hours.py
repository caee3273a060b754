"""Quiet nights where the customer lives, and patience with a mail server that fails."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from letters.hours import RETRY_AFTER_MIN, next_allowed, retry_at

CHICAGO = ZoneInfo("America/Chicago")
ZONES = ["America/Chicago", "America/New_York", "America/Phoenix", "America/St_Johns"]
ZONES += ["Pacific/Honolulu", "Australia/Lord_Howe"]  # the last moves its clock by half an hour
MINUTE = dt.timedelta(minutes=1)
FIRST = dt.datetime(2024, 1, 1, tzinfo=dt.UTC)
moments = st.integers(0, 7 * 366 * 24 * 60).map(lambda minutes: FIRST + minutes * MINUTE)
zones = st.sampled_from(ZONES).map(ZoneInfo)
times = st.times().map(lambda time: time.replace(second=0, microsecond=0))


def chicago(text: str, fold: int = 0) -> dt.datetime:
    local = dt.datetime.fromisoformat(text).replace(tzinfo=CHICAGO, fold=fold)
    return local.astimezone(dt.UTC)  # moments shown twice compare equal to none but in UTC


def is_quiet(moment, zone, begins=dt.time(20), ends=dt.time(8)) -> bool:
    wall = moment.astimezone(zone).time()
    return begins <= wall < ends if begins < ends else wall >= begins or wall < ends


@pytest.mark.parametrize(
    ("moment", "allowed"),
    [
        ("2027-04-20 12:00", "2027-04-20 12:00"),
        ("2027-04-20 19:59", "2027-04-20 19:59"),
        ("2027-04-20 20:00", "2027-04-21 08:00"),
        ("2027-04-21 03:00", "2027-04-21 08:00"),
        ("2027-04-21 08:00", "2027-04-21 08:00"),
        ("2027-03-13 23:00", "2027-03-14 08:00"),  # the night that lost an hour
        ("2027-11-06 23:00", "2027-11-07 08:00"),  # the night that won one
    ],
)
def test_a_letter_waits_for_the_morning_of_its_customer(moment, allowed):
    assert next_allowed(chicago(moment), CHICAGO) == chicago(allowed)


def test_the_night_is_the_customers_not_ours():
    noon_in_utc = dt.datetime(2027, 7, 1, 12, tzinfo=dt.UTC)  # 7 AM in Chicago, 2 AM in Honolulu
    assert next_allowed(noon_in_utc, CHICAGO) - noon_in_utc == dt.timedelta(hours=1)
    assert next_allowed(noon_in_utc, ZoneInfo("Pacific/Honolulu")).hour == 18


def test_a_night_that_ends_in_the_hour_shown_twice_ends_the_second_time():
    first_time = chicago("2027-11-07 01:10", fold=0)
    ends = next_allowed(first_time, CHICAGO, dt.time(20), dt.time(1, 30))
    assert ends == chicago("2027-11-07 01:30", fold=1)
    assert ends - first_time == dt.timedelta(minutes=80)


def test_a_night_that_ends_in_the_skipped_hour_is_not_cut_short():
    ends = next_allowed(chicago("2027-03-14 00:30"), CHICAGO, dt.time(22), dt.time(2, 30))
    assert ends.astimezone(CHICAGO).time() == dt.time(3, 30)


def test_quiet_hours_may_lie_within_a_day():
    siesta = next_allowed(chicago("2027-07-01 13:00"), CHICAGO, dt.time(12), dt.time(15))
    assert siesta == chicago("2027-07-01 15:00")


@given(moments, zones)
def test_it_is_the_first_minute_that_is_not_quiet(moment, zone):
    allowed = next_allowed(moment, zone)
    assert not is_quiet(allowed, zone)
    assert moment <= allowed <= moment + dt.timedelta(hours=13)
    if allowed > moment:
        assert is_quiet(moment, zone)
        assert is_quiet(allowed - MINUTE, zone)


@given(moments, zones, times, st.integers(120, 1439))
def test_whatever_the_quiet_hours_an_allowed_moment_is_never_quiet(moment, zone, ends, day_min):
    begins = (dt.datetime.combine(dt.date(2027, 1, 1), ends) + day_min * MINUTE).time()
    allowed = next_allowed(moment, zone, begins, ends)
    assert not is_quiet(allowed, zone, begins, ends)
    assert moment <= allowed
    assert next_allowed(allowed, zone, begins, ends) == allowed


@given(moments, st.integers(0, 600), zones)
def test_who_is_earlier_is_not_overtaken(moment, minutes, zone):
    assert next_allowed(moment, zone) <= next_allowed(moment + minutes * MINUTE, zone)


@pytest.mark.parametrize(("begins", "ends"), [(8, 8), (9, 8), (0, 23)])
def test_nights_that_leave_no_day_are_refused(begins, ends):
    with pytest.raises(ValueError, match="minutes a day"):
        next_allowed(chicago("2027-07-01 13:00"), CHICAGO, dt.time(begins), dt.time(ends))


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="no time zone"):
        next_allowed(FIRST.replace(tzinfo=None), CHICAGO)


def test_each_retry_waits_longer_until_it_gives_up():
    now = dt.datetime(2027, 4, 1, tzinfo=dt.UTC)
    waits = [retry_at(n, now) for n in range(1, 7)]
    assert [(at - now) / MINUTE for at in waits] == [1, 5, 15, 60, 240, 720]
    assert list(RETRY_AFTER_MIN) == sorted(RETRY_AFTER_MIN)
    assert retry_at(7, now) is None
    assert retry_at(1000, now) is None


def test_there_is_no_attempt_before_the_first():
    with pytest.raises(ValueError, match="first attempt is 1"):
        retry_at(0, dt.datetime(2027, 4, 1, tzinfo=dt.UTC))
