"""When payments fall due, which are open, and for how long."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.money.schedule import (
    BUCKETS,
    Due,
    aged,
    bucket,
    due_days,
    payments,
    still_open,
)
from agreements.terms import term

DAYS = st.dates(dt.date(2000, 1, 1), dt.date(2060, 1, 1))
MONEY = st.integers(1, 1_000_000).map(lambda n: Decimal(n).scaleb(-2))


def test_a_year_paid_monthly_is_twelve_parts_that_sum_to_the_price():
    dues = payments(Decimal(149), dt.date(2027, 1, 1), dt.date(2027, 12, 31), "monthly")

    assert len(dues) == 12
    assert sum(due.amount for due in dues) == 149
    assert [due.on for due in dues[:2]] == [dt.date(2027, 1, 1), dt.date(2027, 2, 1)]


def test_a_year_paid_yearly_is_due_on_its_first_day():
    (due,) = payments(Decimal(149), dt.date(2027, 1, 1), dt.date(2027, 12, 31), "yearly")

    assert (due.on, due.amount) == (dt.date(2027, 1, 1), 149)


def test_payments_of_the_31st_keep_to_the_ends_of_months():
    days = due_days(dt.date(2027, 12, 31), dt.date(2028, 12, 30), "monthly")

    assert days[:4] == [
        dt.date(2027, 12, 31), dt.date(2028, 1, 31), dt.date(2028, 2, 29), dt.date(2028, 3, 31),
    ]  # fmt: skip


def test_a_term_begun_on_a_leap_day_has_twelve_payments_too():
    leap = term(dt.date(2028, 2, 29), 12, 0)

    days = due_days(leap.starts_on, leap.ends_on, "monthly")

    assert len(days) == 12
    assert days[-1] == dt.date(2029, 1, 29)


def test_the_term_before_a_leap_day_asks_once_though_it_is_a_day_longer_than_a_year():
    before = term(dt.date(2024, 2, 29), 12, 3)
    assert (before.starts_on, before.ends_on) == (dt.date(2027, 2, 28), dt.date(2028, 2, 28))

    [due] = payments(Decimal(189), before.starts_on, before.ends_on, "yearly")

    assert (due.on, due.amount) == (dt.date(2027, 2, 28), 189)


@given(DAYS, st.integers(1, 60), st.integers(0, 9))
def test_a_term_of_so_many_months_has_so_many_monthly_payments(first, months, number):
    whole = term(first, months, number)

    assert len(due_days(whole.starts_on, whole.ends_on, "monthly")) == months


def test_a_plan_that_costs_nothing_asks_for_nothing():
    assert payments(Decimal(0), dt.date(2027, 1, 1), dt.date(2027, 12, 31), "monthly") == []


@pytest.mark.parametrize(("first", "last", "rhythm"), [(1, 2, "weekly"), (2, 1, "yearly")])
def test_an_unknown_rhythm_and_an_end_before_the_start_are_refused(first, last, rhythm):
    with pytest.raises(ValueError, match=r"Payments are|A term ends"):
        due_days(dt.date(2027, 1, first), dt.date(2027, 1, last), rhythm)


def test_money_pays_the_oldest_debt_first():
    dues = [Due(dt.date(2027, 2, 1), Decimal(10)), Due(dt.date(2027, 1, 1), Decimal(10))]

    assert still_open(dues, Decimal(15)) == [Due(dt.date(2027, 2, 1), Decimal(5))]


@given(st.lists(st.tuples(DAYS, MONEY)), MONEY)
def test_what_is_open_is_what_was_due_less_what_was_paid(pairs, paid):
    dues = [Due(day, amount) for day, amount in pairs]
    owed = sum(due.amount for due in dues)

    assert sum(due.amount for due in still_open(dues, paid)) == max(owed - paid, 0)


@pytest.mark.parametrize(
    ("late", "column"),
    [(-3, "current"), (0, "current"), (1, "1-30"), (30, "1-30"), (31, "31-60"), (60, "31-60"),
     (61, "61-90"), (90, "61-90"), (91, "over 90"), (900, "over 90")],
)  # fmt: skip
def test_a_payment_grows_old_column_by_column(late, column):
    today = dt.date(2028, 3, 1)

    assert bucket(today - dt.timedelta(days=late), today) == column


@given(st.lists(st.tuples(DAYS, MONEY)), DAYS)
def test_the_columns_sum_to_all_that_is_open(pairs, today):
    dues = [Due(day, amount) for day, amount in pairs]
    columns = aged(dues, today)

    assert tuple(columns) == BUCKETS
    assert sum(columns.values()) == sum(due.amount for due in dues)
