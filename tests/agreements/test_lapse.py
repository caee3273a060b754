"""Points for plain facts, each with its reason."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from agreements.lapse import Facts, outlook


def words_of(**facts) -> list[str]:
    return [reason.words for reason in outlook(Facts(**facts)).reasons]


def test_a_customer_without_a_grievance_is_likely_to_stay():
    found = outlook(Facts())

    assert (found.points, found.level, found.reasons) == (0, "likely to stay", ())


def test_missed_visits_and_a_complaint_may_end_it():
    found = outlook(Facts(missed=1, complaints=1, first_year=True))

    assert (found.points, found.level) == (55, "may not renew")
    assert [reason.points for reason in found.reasons] == [20, 20, 15]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"missed": 2}, "2 owed visits were missed"),
        ({"complaints": 1}, "1 complaint"),
        ({"late": 1}, "1 visit came late"),
        ({"price_rise": Decimal("0.15")}, "the next term costs 15% more"),
        ({"overdue_days": 40}, "a payment is overdue by 40 days"),
        ({"first_year": True}, "this is the first term"),
        ({"agreed_to_renewal": False}, "has not agreed to renewal"),
    ],
)
def test_each_fact_says_itself(facts, words):
    assert words_of(**facts) == [words]


def test_a_small_or_falling_price_counts_for_nothing():
    assert words_of(price_rise=Decimal("0.05")) == words_of(price_rise=Decimal("-0.2")) == []


@given(
    st.builds(
        Facts,
        missed=st.integers(0, 9),
        complaints=st.integers(0, 9),
        late=st.integers(0, 9),
        overdue_days=st.integers(0, 400),
        first_year=st.booleans(),
        agreed_to_renewal=st.booleans(),
    )
)
def test_the_points_are_the_sum_of_the_reasons_up_to_a_hundred(facts):
    found = outlook(facts)

    assert found.points == min(100, sum(reason.points for reason in found.reasons))
    assert all(reason.words for reason in found.reasons)
