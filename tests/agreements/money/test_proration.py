"""What a part of a term costs, and what goes back when an agreement ends early."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.money.proration import (
    BY_DAYS,
    BY_VISITS,
    KEEP_DAYS,
    KEEP_VISITS,
    WHOLE_PRICE,
    Carried,
    Span,
    Stay,
    plan_change,
    prorated,
    settle_ending,
)

YEAR = Span(dt.date(2027, 1, 1), dt.date(2027, 12, 31))
JULY = Stay(YEAR, dt.date(2027, 7, 1), visits_left=1, visits=2)
PRICE = Decimal(146)
MONEY = st.integers(0, 1_000_000).map(lambda n: Decimal(n).scaleb(-2))
DAY = st.dates(dt.date(2026, 6, 1), dt.date(2028, 6, 1))
CARRIED = st.lists(MONEY.map(lambda amount: Carried("Cooling check", amount)), max_size=4)


def ended(ends: dt.date, rule: str = KEEP_DAYS, paid: Decimal = PRICE, **more):
    facts = {"price": PRICE, "paid": paid, "due": PRICE, "whole": YEAR} | more
    return settle_ending(ends=ends, rule=rule, **facts)


@pytest.mark.parametrize(
    ("rule", "amount"), [(WHOLE_PRICE, "146"), (BY_DAYS, "73.60"), (BY_VISITS, "73")]
)
def test_the_plan_says_what_the_rest_of_a_term_costs(rule, amount):
    assert prorated(PRICE, JULY, rule).amount == Decimal(amount)


def test_the_computation_is_said_in_words():
    words = [line.words for line in prorated(PRICE, JULY, BY_DAYS).lines]

    assert words[-1] == "184 of its 365 days are left from July 1, 2027"


def test_a_plan_without_visits_left_costs_nothing_by_visits():
    assert prorated(PRICE, Stay(YEAR, dt.date(2027, 12, 1), 0, 0), BY_VISITS).amount == 0


def test_a_dearer_plan_costs_the_difference_of_the_days_that_are_left():
    change = plan_change(old_price=PRICE, old=JULY, new_price=Decimal(292), new=JULY, rule=BY_DAYS)

    assert change.amount == Decimal("73.60")
    assert sum(line.amount for line in change.lines[1:]) == change.amount


def test_a_cheaper_plan_gives_a_credit():
    change = plan_change(old_price=PRICE, old=JULY, new_price=Decimal(73), new=JULY, rule=BY_DAYS)

    assert change.amount == Decimal("-36.80")


def test_by_days_the_unused_days_go_back():
    ending = ended(dt.date(2027, 7, 1))

    assert (ending.refund, ending.kept) == (Decimal("73.60"), Decimal("72.40"))
    assert "181 of 365 days" in ending.lines[1].words


def test_by_visits_what_was_carried_out_is_kept_at_its_own_price():
    ending = ended(
        dt.date(2027, 7, 1), KEEP_VISITS, carried=[Carried("Cooling check", Decimal(99))]
    )

    assert ending.refund == 47


def test_work_dearer_than_the_price_gives_nothing_back_and_asks_for_nothing():
    dear = [Carried("Cooling check", Decimal(200))]

    ending = ended(dt.date(2027, 7, 1), KEEP_VISITS, carried=dear)

    assert (ending.refund, ending.still_due) == (0, 0)
    assert "Nothing goes back" in ending.lines[-1].words


def test_no_more_goes_back_than_was_paid():
    assert ended(dt.date(2027, 1, 1), paid=Decimal(20)).refund == 20


def test_what_was_used_and_due_but_not_paid_is_still_asked():
    ending = ended(dt.date(2027, 7, 1), paid=Decimal(0))

    assert (ending.refund, ending.still_due) == (0, Decimal("72.40"))


def test_a_monthly_payer_is_never_asked_beyond_what_was_due():
    ending = ended(dt.date(2027, 7, 1), paid=Decimal(10), due=Decimal(30))

    assert ending.still_due == 20


@given(MONEY, MONEY, MONEY, DAY, st.sampled_from([KEEP_DAYS, KEEP_VISITS]), CARRIED)
def test_a_refund_is_never_above_what_was_paid_nor_below_nothing(price, paid, due, ends, rule, did):
    ending = settle_ending(
        price=price, paid=paid, due=due, whole=YEAR, ends=ends, rule=rule, carried=did
    )

    assert 0 <= ending.refund <= paid
    assert 0 <= ending.still_due <= due
    assert not (ending.refund and ending.still_due)
    assert ending.kept == paid - ending.refund + ending.still_due
    assert 0 <= ending.kept <= max(price, paid)


@pytest.mark.parametrize(
    "act", [lambda: prorated(PRICE, JULY, "x"), lambda: ended(JULY.begins, "x")]
)
def test_a_rule_that_nobody_knows_is_refused(act):
    with pytest.raises(ValueError, match="There is no"):
        act()


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="ends on or after"):
        Span(dt.date(2027, 2, 1), dt.date(2027, 1, 1))
    with pytest.raises(ValueError, match="No more visits"):
        Stay(YEAR, dt.date(2027, 7, 1), 2, 1)
