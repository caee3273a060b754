"""Dollars and cents: rounding half to even, and parts that sum to the whole."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.money.amounts import NotWholeCents, cents, dollars, exact, part, split

MONEY = st.integers(-10_000_000, 10_000_000).map(lambda n: Decimal(n).scaleb(-2))
WEIGHTS = st.lists(st.integers(0, 400), min_size=1, max_size=40).filter(any)


@pytest.mark.parametrize(
    ("amount", "rounded"), [("0.125", "0.12"), ("0.135", "0.14"), ("-0.125", "-0.12"), ("2", "2")]
)
def test_half_a_cent_goes_to_the_even_one(amount, rounded):
    assert cents(Decimal(amount)) == Decimal(rounded)


@pytest.mark.parametrize("amount", ["12.345", "0.001", "NaN", "Infinity"])
def test_an_amount_that_no_coin_can_pay_is_refused(amount):
    with pytest.raises(NotWholeCents, match="whole cents"):
        exact(Decimal(amount))


def test_a_part_of_a_price_is_rounded_once():
    assert part(Decimal(149), 91, 365) == Decimal("37.15")


def test_a_price_in_twelve_parts_leaves_no_cent_over():
    parts = split(Decimal(149), [1] * 12)

    assert parts == [Decimal("12.42")] * 8 + [Decimal("12.41")] * 4


@given(MONEY, WEIGHTS)
def test_the_parts_sum_to_the_whole(total, weights):
    assert sum(split(total, weights)) == total


@given(MONEY, WEIGHTS)
def test_each_part_is_less_than_a_cent_from_its_fair_share(total, weights):
    for got, weight in zip(split(total, weights), weights, strict=True):
        assert abs(got - total * weight / sum(weights)) < Decimal("0.01000001")


@given(MONEY, st.integers(1, 36))
def test_equal_shares_differ_by_a_cent_at_most(total, count):
    parts = split(total, [1] * count)

    assert max(parts) - min(parts) <= Decimal("0.01")


@pytest.mark.parametrize("weights", [[], [0, 0], [1, -1]])
def test_nothing_is_split_by_no_weights_or_negative_ones(weights):
    with pytest.raises(ValueError, match="weights"):
        split(Decimal(1), weights)


def test_a_credit_carries_its_sign_in_front():
    assert dollars(Decimal("-1234.5")) == "-$1,234.50"
