"""The journal of a branch from its rows: it balances, and the customer's money is in it."""

import datetime as dt
from collections import defaultdict
from decimal import Decimal

import pytest

from agreements.accounts import account_of
from agreements.actions.changing import change_plan
from agreements.actions.ending import cancel
from agreements.actions.owing import close_owed_visit
from agreements.actions.paying import refund
from agreements.models import Bookkeeping, Recognition
from agreements.postings import postings, revenue_by_month
from tests import cast
from tests.agreements.sold import TODAY, paid, sold, spring_check, two_checks

pytestmark = pytest.mark.django_db
END = dt.date(2027, 12, 31)


def balances(last: dt.date = END, first: dt.date | None = None) -> dict[str, Decimal]:
    """Debits less credits of each account."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in postings(cast.cedarburg(), first, last):
        sums[line.account] += line.debit - line.credit
    assert sum(sums.values()) == 0
    return {name: amount for name, amount in sums.items() if amount}


def test_a_paid_term_is_cash_and_earned_by_its_end():
    paid(sold(), 146)

    assert balances() == {"Cash": 146, "Agreement revenue": -146}


def test_half_way_the_rest_is_deferred():
    paid(sold(), 146)

    # 181 of 365 days at 40 cents; it was paid on July 1.
    assert balances(dt.date(2027, 7, 1)) == {
        "Cash": 146,
        "Agreement revenue": Decimal("-72.40"),
        "Deferred agreement revenue": Decimal("-73.60"),
    }


def test_a_branch_may_earn_with_each_visit():
    Bookkeeping.objects.create(branch=cast.cedarburg(), recognition=Recognition.BY_VISITS)
    agreement = sold(two_checks(cooling_alone=Decimal(120), heating_alone=Decimal(80)))
    cooling = agreement.owed_visits.get(kind="cooling")
    close_owed_visit(owed=cooling, closed="done", on=dt.date(2027, 4, 9))

    assert balances()["Agreement revenue"] == Decimal("-175.20")  # 292 * 120 / 200


def test_the_shop_s_own_account_names_are_used():
    Bookkeeping.objects.create(branch=cast.cedarburg(), cash="1010 Checking")
    paid(sold(), 146)

    assert balances()["1010 Checking"] == 146


def test_a_cancelled_agreement_earns_what_was_kept_of_it():
    agreement = sold()
    paid(agreement, 146)
    settled = cancel(agreement=agreement, ends=TODAY, why="moves", by=cast.odile())
    refund(
        agreement=agreement, amount=settled.refund, on=TODAY, how="cash", why="m", by=cast.odile()
    )

    assert balances() == {"Cash": settled.kept, "Agreement revenue": -settled.kept}


def test_a_changed_plan_leaves_nothing_between_the_agreements():
    agreement = sold()
    paid(agreement, 146)
    new = change_plan(
        agreement=agreement, plan=two_checks(), on=TODAY,
        by=cast.odile(),
    )  # fmt: skip
    paid(new, account_of(new).balance)

    kept = account_of(agreement).asked + account_of(new).asked
    assert balances() == {"Cash": kept, "Agreement revenue": -kept}


def test_a_spreadsheet_s_agreement_asks_for_nothing_and_posts_nothing():
    sold().charges.all().delete()

    assert list(postings(cast.cedarburg(), None, END)) == []


def test_months_say_what_is_deferred_at_their_end():
    sold(spring_check())

    months = revenue_by_month(cast.cedarburg(), dt.date(2027, 3, 31))

    assert [(m.billed, m.earned, m.deferred) for m in months] == [
        (Decimal("146.00"), Decimal("12.40"), Decimal("133.60")),
        (0, Decimal("11.20"), Decimal("122.40")),
        (0, Decimal("12.40"), Decimal("110.00")),
    ]


def test_a_period_takes_its_own_entries_alone():
    paid(sold(), 146)

    assert balances(dt.date(2027, 2, 28), dt.date(2027, 2, 1)) == {
        "Deferred agreement revenue": Decimal("11.20"), "Agreement revenue": Decimal("-11.20")
    }  # fmt: skip


def test_another_branch_s_money_stays_out():
    paid(sold(), 146)

    assert list(postings(cast.sheboygan(), None, END)) == []
