"""What is earned in which month, what stays deferred, and a journal that balances."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.money.revenue import (
    Accounts,
    Distinct,
    Entry,
    JournalLine,
    MonthAmount,
    Unbalanced,
    balances,
    billed_entry,
    by_visits,
    earned_entries,
    ended_early,
    ledger,
    paid_entry,
    refund_entry,
    straight_line,
)

MONEY = st.integers(0, 1_000_000).map(lambda n: Decimal(n).scaleb(-2))
DAY = st.dates(dt.date(2020, 1, 1), dt.date(2040, 1, 1))
VISITS = st.lists(
    st.builds(Distinct, st.integers(1, 500).map(Decimal), st.none() | DAY), min_size=1, max_size=6
)
FIRST, LAST = dt.date(2027, 1, 1), dt.date(2027, 12, 31)


def test_each_month_earns_its_days():
    months = straight_line(Decimal(365), FIRST, LAST)

    assert [int(month.amount) for month in months[:3]] == [31, 28, 31]


def test_a_term_from_the_middle_of_a_month_earns_thirteen_parts():
    months = straight_line(Decimal(365), dt.date(2027, 1, 16), dt.date(2028, 1, 15))

    assert len(months) == 13
    assert (months[0].amount, months[-1].amount) == (16, 15)


@given(MONEY, DAY, st.integers(0, 1500))
def test_the_months_sum_to_the_price(price, first, days):
    months = straight_line(price, first, first + dt.timedelta(days=days))

    assert sum(month.amount for month in months) == price
    assert all(month.amount >= 0 for month in months)


@given(MONEY, VISITS)
def test_visits_that_are_all_done_earn_the_whole_price(price, visits):
    done = [Distinct(v.stand_alone, v.earned_on or FIRST) for v in visits]

    assert sum(month.amount for month in by_visits(price, done)) == price
    assert sum(month.amount for month in by_visits(price, visits)) <= price


@given(MONEY, DAY, MONEY, DAY)
def test_an_agreement_that_ended_early_earns_what_was_kept(price, first, kept, ends):
    earned = straight_line(price, first, first + dt.timedelta(days=364))

    months = ended_early(earned, kept, ends)

    assert sum(month.amount for month in months) == kept
    closed = [m for m in earned if m.month < ends.replace(day=1)]
    assert months[: len(closed)] == closed


@given(MONEY, VISITS, DAY)
def test_what_is_deferred_in_the_end_is_what_was_billed_and_not_earned(price, visits, day):
    earned = by_visits(price, visits)

    months = balances([(day, price)], earned)

    assert months[-1].deferred == price - sum(month.amount for month in earned)


def test_what_is_deferred_falls_month_by_month():
    months = balances([(FIRST, Decimal(365))], straight_line(Decimal(365), FIRST, LAST))

    assert [month.deferred for month in months[:2]] == [334, 306]
    assert months[-1].deferred == 0


def test_without_anything_there_is_no_month():
    assert balances([], []) == []


@given(MONEY, DAY)
def test_the_journal_of_a_paid_term_balances_and_leaves_revenue_and_cash(price, first):
    names = Accounts()
    earned = straight_line(price, first, first + dt.timedelta(days=364))

    sums = ledger(
        [billed_entry(first, price, names), paid_entry(first, price, names),
         *earned_entries(earned, names)]
    )  # fmt: skip

    assert sum(sums.values()) == 0
    assert sums[names.cash] == price
    assert sums.get(names.revenue, 0) == -price
    assert sums[names.receivable] == sums[names.deferred] == 0


def test_a_credit_and_a_refund_go_the_other_way():
    names = Accounts(cash="1000 Bank")
    entries = [billed_entry(FIRST, Decimal(-5), names), refund_entry(FIRST, Decimal(5), names)]

    assert ledger(entries) == {names.deferred: 5, names.receivable: 0, "1000 Bank": -5}


def test_an_entry_that_does_not_balance_cannot_be_written():
    with pytest.raises(Unbalanced, match=r"debits 5.* and credits 4"):
        Entry(FIRST, "x", (JournalLine("a", Decimal(5), Decimal(0)),
                           JournalLine("b", Decimal(0), Decimal(4))))  # fmt: skip


def test_a_term_that_ends_before_it_starts_earns_nothing_but_an_error():
    with pytest.raises(ValueError, match="ends on or after"):
        straight_line(Decimal(1), LAST, FIRST)


def test_a_month_in_which_nothing_is_earned_has_no_entry():
    assert earned_entries([MonthAmount(FIRST, Decimal(0))], Accounts()) == []
