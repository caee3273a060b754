"""Revenue by month on a screen, and the names of the accounts."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from agreements.models import Bookkeeping
from tests import cast, factories
from tests.agreements.sold import NOON, sold

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_in_july")]
REVENUE, RULE = reverse("agreements:revenue"), reverse("agreements:bookkeeping")
NAMES = {
    "recognition": "by_visits", "cash": "1010 Checking", "receivable": "1200 Receivable",
    "deferred": "2400 Deferred", "revenue": "4000 Agreements", "moved": "2999 Moved",
}  # fmt: skip


@pytest.fixture
def _in_july():
    with time_machine.travel(NOON, tick=False):
        yield


def send(**changed: str):
    return cast.signed_in(cast.odile()).post(RULE, NAMES | changed)


def test_it_says_billed_earned_and_deferred_of_each_month():
    sold()

    page = cast.signed_in(cast.odile()).get(REVENUE).text

    for words in ("January 2027", "$146.00", "$12.40", "$133.60", "June 2027"):
        assert words in page
    assert "July 2027" not in page  # not over yet


def test_a_period_narrows_it_and_its_files():
    sold()

    page = cast.signed_in(cast.odile()).get(REVENUE, {"first": "2027-06-01"}).text

    assert "May 2027" not in page
    assert "postings.csv?first=2027-06-01" in page


def test_days_the_wrong_way_round_are_said_to_be_so():
    asked = {"first": "2027-06-01", "last": "2027-01-01"}

    assert "Not before the first day." in cast.signed_in(cast.odile()).get(REVENUE, asked).text


def test_the_shop_writes_its_own_account_names():
    assert send().url == REVENUE

    assert Bookkeeping.objects.get(branch=cast.cedarburg()).accounts.cash == "1010 Checking"


@pytest.mark.parametrize(
    ("changed", "words"),
    [({"cash": "2400 deferred"}, "a name of its own"), ({"cash": " "}, "required")],
    ids=["twice", "empty"],
)
def test_accounts_have_names_of_their_own(changed, words):
    refused = send(**changed)

    assert refused.status_code == 422
    assert words in refused.text
    assert not Bookkeeping.objects.exists()


def test_neither_a_technician_nor_a_stranger_sees_it(client):
    for page in (REVENUE, RULE):
        assert cast.signed_in(cast.ingrid().user).get(page).status_code == 404
        assert client.get(page).url.startswith("/sign-in/")
    assert cast.signed_in(cast.odile()).post(REVENUE).status_code == 405


def test_many_agreements_cost_no_more_queries_than_one(django_assert_num_queries):
    for number in range(20):
        home = factories.HomeFactory(customer__branch=cast.cedarburg())
        agreement = factories.AgreementFactory(home=home, starts_on=dt.date(2027, 1, 1 + number))
        agreement.charges.create(due_on=agreement.starts_on, amount=149)
    browser = cast.signed_in(cast.odile())

    # Session, person, branch; the rule twice; agreements, their charges.
    with django_assert_num_queries(7):
        browser.get(REVENUE)
